import jstat from 'jstat'

/** Probability of a chi-square above `value`; good to 12 decimals, so that anything smaller is given as zero or near it. */
export function chiSquareTail(value: number, degreesOfFreedom: number): number {
  return Math.max(0, 1 - jstat.jStat.chisquare.cdf(value, degreesOfFreedom))
}
