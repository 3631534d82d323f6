/** What a thread runs that answers its first message, `question`, in this way. */
export const answering = (answer: string): URL =>
  new URL(
    `data:text/javascript,${encodeURIComponent(
      `import { parentPort } from 'node:worker_threads';
       parentPort.once('message', (question) => { ${answer} });`,
    )}`,
  );
