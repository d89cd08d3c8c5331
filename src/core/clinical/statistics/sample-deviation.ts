import { mean, sampleStandardDeviation } from 'simple-statistics'

/** Sample standard deviation (n - 1) in the values' unit; undefined for fewer than two. */
export function sampleDeviation(values: readonly number[]): number | undefined {
  return values.length < 2 ? undefined : sampleStandardDeviation([...values])
}

/** Coefficient of variation, per cent: 100 times SD (n - 1) over mean. Undefined for fewer than two, or a mean of zero. */
export function coefficientOfVariation(values: readonly number[]): number | undefined {
  const sd = sampleDeviation(values)
  const centre = sd === undefined ? 0 : mean([...values])
  return sd === undefined || centre === 0 ? undefined : (100 * sd) / centre
}
