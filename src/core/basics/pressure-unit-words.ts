import type { PressureUnit } from './pressure.ts'

/**
 * The unit of a pressure that a code or words name: `mm[Hg]`, `mm Hg`, `millimetres of mercury`, `MDC_DIM_MMHG`; `kPa`,
 * `kilopascal`. Letter case, blanks and signs do not count. Undefined for all else, words of other languages too: what is
 * not known contradicts nothing. Sources: UCUM, mm[Hg] and kPa; ISO/IEEE 11073, names that begin with MDC_DIM.
 */
function namedUnit(text: unknown): PressureUnit | undefined {
  if (typeof text !== 'string') return undefined
  const letters = text.toLowerCase().replace(/[^\p{L}]/gu, '')
  if (MERCURY.test(letters)) return 'mmHg'
  return KILOPASCAL.test(letters) ? 'kPa' : undefined
}

const MERCURY = /^(?:mdcdim)?(?:mm|millimet(?:er|re)s?)(?:of)?(?:hg|mercury)$/
const KILOPASCAL = /^(?:mdcdim)?(?:kpa|kilopascals?)$/

/** Whether the code of a pressure's unit and the words beside it name two units: then nobody knows which was measured. */
export function nameTwoUnits(...texts: readonly unknown[]): boolean {
  return new Set(texts.flatMap((text) => namedUnit(text) ?? [])).size > 1
}
