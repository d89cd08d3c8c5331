import { canaryNumber, canaryText } from './canaries.ts'
import type { Chooser } from './chooser.ts'

/** Numbers at the ends of what JSON, IEEE 754 and readers of decimals can hold. */
export const EXTREME_NUMBERS = [
  '0',
  '-0',
  '-1',
  '1e308',
  '-1e308',
  '1e400',
  '5e-324',
  '1e-400',
  '9007199254740993',
  '0.1000000000000000055511151231257827',
  '120.5',
  '120.00000000000001',
  '300',
  '999999999999999999999999999999',
  '1E2',
] as const

/** Texts that trip up careless readers. */
export const ODD_TEXTS = [
  '',
  ' ',
  '\u0000',
  '\ufeff',
  '\ud800',
  'a\udc00b',
  '\u202eevil',
  '\u200b',
  'e\u0301\u0301\u0301',
  'İıſK',
  '😀👩‍👩‍👧',
  '\u2028\u2029',
  '\r\n',
  '"',
  '\\',
  '$.header.user_id',
  '../../etc',
  '<b>',
  '=1+1',
  '120',
  'NaN',
  'null',
  '2026-02-30T25:61:61Z',
  '0000-00-00',
  '2026-01-10T08:00:00+99:99',
  '10000-01-01T00:00:00Z',
] as const

/** Names of members that every object inherits. */
export const INHERITED_NAMES = [
  '__proto__',
  'constructor',
  'prototype',
  'toString',
  'hasOwnProperty',
  'toJSON',
  'then',
  '__defineGetter__',
] as const

/** A text that stands for anything a person or a program could write. */
export function oddText(random: Chooser): string {
  if (random.happens(0.4)) return canaryText(random)
  if (random.happens(0.05)) return canaryText(random).repeat(random.whole(10, 800))
  return random.of(ODD_TEXTS)
}

/** As JSON writes it. */
export function oddNumber(random: Chooser): string {
  return random.happens(0.5) ? canaryNumber(random) : random.of(EXTREME_NUMBERS)
}
