/**
 * Exact probability of `least` or more successes in `of` independent tries that each succeed with `share`, 0 < share < 1.
 *
 * The smallest terms are added first, so that the result is good to about twelve digits for some thousand tries.
 */
export function binomialTail(least: number, of: number, share: number): number {
  if (least <= 0) return 1
  const odds = Math.log(share) - Math.log1p(-share)
  let logTerm = of * Math.log1p(-share)
  const terms: number[] = []
  for (let successes = 0; successes <= of; successes++) {
    if (successes >= least) terms.push(Math.exp(logTerm))
    logTerm += Math.log((of - successes) / (successes + 1)) + odds
  }
  return Math.min(
    1,
    terms.sort((a, b) => a - b).reduce((sum, term) => sum + term, 0),
  )
}
