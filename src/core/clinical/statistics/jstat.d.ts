/** The few distributions used of jStat, which ships without types. */
declare module 'jstat' {
  const jstat: {
    readonly jStat: {
      readonly studentt: { inv(probability: number, degreesOfFreedom: number): number }
      readonly chisquare: { cdf(value: number, degreesOfFreedom: number): number }
      readonly normal: { cdf(value: number, mean: number, sd: number): number }
    }
  }
  export default jstat
}
