import type { Chooser } from './chooser.ts'

/**
 * Texts and numbers that stand for what a person wrote or measured. They mean nothing, occur nowhere in this repository's
 * own words, and must never come back in an issue, a log line or an audit row.
 */
const TEXT = 'wrenfeather'
/** Enough of them that no hash or id has them by chance. */
const DIGITS = '8675309246'

export function canaryText(random: Chooser): string {
  return `${TEXT}-${random.whole(0, 999)}`
}

/** As JSON writes it: too large for any pressure, or with more decimals than one has. */
export function canaryNumber(random: Chooser): string {
  return random.of([`${DIGITS}${random.whole(0, 99)}`, `${random.whole(60, 180)}.${DIGITS}`, `-${DIGITS}.25`])
}

/** Whether something of a canary stands in a text, in whatever case. */
export function showsCanary(text: string): boolean {
  return text.includes(DIGITS) || text.toLowerCase().includes(TEXT)
}
