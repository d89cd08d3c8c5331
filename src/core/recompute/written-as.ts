import { type ExactMean, rounded } from '../basics/exact-mean.ts'
import { decimalsOf, MOST_DECIMALS } from './figure-text.ts'

/** How a stated mean stands to the one worked out: as it should be written, rounded half to even, or otherwise. */
export type WrittenAs = 'right' | 'half-even' | 'wrong'

/**
 * A mean rounded once, half away from zero, to the digits the statement carries, must be what is stated. Of a statement
 * with more digits than are rounded to, such as a mean as a double prints it, the first so many count: it may be off by
 * half of the last of them.
 *
 * @param leastDecimals digits that a mean carries though JSON does not show them, as 134.0 is 134 there.
 */
export function writtenAs(mean: ExactMean, stated: number, leastDecimals: number): WrittenAs {
  const decimals = Math.max(decimalsOf(stated), leastDecimals)
  if (rounded(mean, decimals) === stated) return 'right'
  const value = fractionOf(stated)
  const off = mean.total * value.count - value.total * mean.count
  // Twice the distance, beside one unit of the last digit, over the same denominator.
  const twice = 2n * (off < 0n ? -off : off) * 10n ** BigInt(decimals)
  const unit = mean.count * value.count
  if (decimals === MOST_DECIMALS && value.count > 10n ** BigInt(MOST_DECIMALS))
    return twice <= unit ? 'right' : 'wrong'
  const isEven = ((value.total * 10n ** BigInt(decimals)) / value.count) % 2n === 0n
  return twice === unit && isEven ? 'half-even' : 'wrong'
}

/** A number as the decimal that JSON writes it as: 134.5 is 1345 over 10. */
function fractionOf(value: number): ExactMean {
  const [digits = '', exponent = '0'] = String(value).split('e')
  const [whole = '', part = ''] = digits.split('.')
  const power = Number(exponent) - part.length
  const total = BigInt(whole + part)
  return power < 0
    ? { total, count: 10n ** BigInt(-power) }
    : { total: total * 10n ** BigInt(power), count: 1n }
}
