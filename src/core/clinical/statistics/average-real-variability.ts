/**
 * Average real variability: the mean absolute difference of successive values, which are given in time order; in their
 * unit. Each step weighs the same, whatever the time between. Undefined for fewer than two.
 *
 * Source: Mena 2005, as `mena-2005` of the citations says; the formula is from memory. Series of 24 hours are said to
 * need at least 48 readings; no published minimum was found for readings at home.
 */
export function averageRealVariability(values: readonly number[]): number | undefined {
  if (values.length < 2) return undefined
  let sum = 0
  let previous: number | undefined
  for (const value of values) {
    if (previous !== undefined) sum += Math.abs(value - previous)
    previous = value
  }
  return sum / (values.length - 1)
}
