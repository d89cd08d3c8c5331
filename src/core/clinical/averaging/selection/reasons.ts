import type { LeftOutReason } from '../period-average.ts'

/**
 * Every reason for which a reading is left out, in their order of precedence: a reading that breaks several rules is
 * left out by the first of them, and each rule looks only at the readings that none before it left out.
 *
 * The order goes from what the reading is to where it stands in the schedule:
 *
 * 1. `withdrawn`: what its source took back is not looked at further.
 * 2. `outside-period`, `other-setting`, `pressure-missing`: what is left are the complete home readings of the period.
 * 3. `same-reading-again`: before any rule that counts readings or compares them, so that a reading sent twice, by one
 *    source or through two, is one.
 * 4. `excluded-by-policy`: before the rules of the schedule, so that a reading the clinic does not trust takes no
 *    other's place in a sitting and is no measure for a first reading.
 * 5. `other-position`: before the limbs, so that a reading that cannot count has no say in whose readings do.
 * 6. `other-site`, `site-not-stated`, `other-arm`, `arm-not-stated`: limbs are never pooled, and each limb keeps a
 *    schedule of its own below. A limb that is not stated is one of its own.
 * 7. `outside-window`, `first-day`, `extra-sitting`, `extra-reading`, `first-reading`: the protocol's schedule, from
 *    the hours down to the sitting. First days go before sittings, as a day that is left out needs no further reason.
 *    First readings go last, so that a first reading takes one of the places asked for, as in "three, the first left
 *    out".
 */
export const REASONS = [
  'withdrawn',
  'outside-period',
  'other-setting',
  'pressure-missing',
  'same-reading-again',
  'excluded-by-policy',
  'other-position',
  'other-site',
  'site-not-stated',
  'other-arm',
  'arm-not-stated',
  'outside-window',
  'first-day',
  'extra-sitting',
  'extra-reading',
  'first-reading',
] as const satisfies readonly LeftOutReason[]

/** In place of a code: the reading counts. */
export const COUNTS = 0

/** The number of each reason, from 1; a lower one goes before a higher one. */
export const CODE = codes()

/** The reason of a code, undefined for `COUNTS`. */
export function reasonOf(code: number): LeftOutReason | undefined {
  return REASONS[code - 1]
}

/** Whether a row is a home reading of the period, complete or not: the person measured. */
export function isMeasuring(code: number): boolean {
  return code === COUNTS || code >= CODE['pressure-missing']
}

/** Whether a row is a complete home reading of the period, whatever the protocol makes of it, each counted once. */
export function isCompleteHome(code: number): boolean {
  return code === COUNTS || code > CODE['same-reading-again']
}

/** Whether a row is such a reading that neither the clinic's policy nor its position leaves out. */
export function isTrusted(code: number): boolean {
  return isCompleteHome(code) && code !== CODE['excluded-by-policy'] && code !== CODE['other-position']
}

function codes(): Readonly<Record<LeftOutReason, number>> {
  const order: readonly LeftOutReason[] = REASONS
  const code = (reason: LeftOutReason) => order.indexOf(reason) + 1
  return {
    withdrawn: code('withdrawn'),
    'outside-period': code('outside-period'),
    'other-setting': code('other-setting'),
    'pressure-missing': code('pressure-missing'),
    'same-reading-again': code('same-reading-again'),
    'excluded-by-policy': code('excluded-by-policy'),
    'other-position': code('other-position'),
    'other-site': code('other-site'),
    'site-not-stated': code('site-not-stated'),
    'other-arm': code('other-arm'),
    'arm-not-stated': code('arm-not-stated'),
    'outside-window': code('outside-window'),
    'first-day': code('first-day'),
    'extra-sitting': code('extra-sitting'),
    'extra-reading': code('extra-reading'),
    'first-reading': code('first-reading'),
  }
}
