/** Of package.json, put in by the build. */
declare const BATHTIDE_VERSION: string;
