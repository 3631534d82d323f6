// What the packed app has beside the page. Plain Node without packages.

/** Commands of the packed app: `bathtide plan FILE.json`. `bench` needs the repository and stays there. */
export const COMMANDS = ['plan', 'capacity', 'sweep', 'worker'];

/** Packages that find files of their own by where they lie, so that they stay whole beside the built commands. */
export const BESIDE = ['highs', 'piscina', 'bullmq', 'ioredis'];
