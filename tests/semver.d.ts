/** The part of semver that tests use. */
declare module 'semver' {
  const semver: { satisfies(version: string, range: string): boolean };
  export default semver;
}
