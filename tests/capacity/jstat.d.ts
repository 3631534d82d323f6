/** The parts of jstat that the checks use; the package brings no types. */
declare module 'jstat' {
  interface Law {
    pdf(x: number, ...parameters: number[]): number;
    cdf(x: number, ...parameters: number[]): number;
    inv(p: number, ...parameters: number[]): number;
    mean(...parameters: number[]): number;
    variance(...parameters: number[]): number;
  }
  const jStat: {
    readonly lognormal: Law;
    readonly gamma: Law;
    readonly weibull: Law;
    readonly normal: Law;
    readonly exponential: Law;
    readonly poisson: Law;
    gammaln(x: number): number;
    quantiles(values: number[], at: number[], alphap: number, betap: number): number[];
  };
  export default { jStat };
}
