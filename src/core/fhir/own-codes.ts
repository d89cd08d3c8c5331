import type { CodeableConcept, Coding } from 'fhir/r4.js'
import type { LeftOutReason } from '../clinical/averaging/period-average.ts'
import type { AttentionCode } from '../clinical/finding.ts'
import { ownUrls } from './own-urls.ts'

/**
 * What no published code system has a code for, by the words of our own, `profiles/code-systems/home-bp-gateway.json`:
 * calls for attention, and why a reading is left out of an average.
 */
const DISPLAY = {
  attention: 'Call for attention',
  'very-high': 'Very high reading',
  'very-low': 'Very low reading',
  'irregular-pulse-repeated': 'Irregular pulse reported repeatedly',
  'arms-differ': 'Arms differ',
  'fall-on-standing': 'Fall on standing up',
  'first-day': 'First days of measuring',
  'first-reading': 'First reading of a sitting',
  'outside-period': 'Outside the period',
  'outside-window': 'Outside the hours of measuring',
  'other-arm': 'Other arm',
  'other-site': 'Other site',
  'other-setting': 'Not taken at home',
  'pressure-missing': 'A pressure is missing',
  withdrawn: 'Taken back by the source',
  'same-reading-again': 'Same reading again',
  'excluded-by-policy': 'Left out by the clinic’s policy',
  'extra-sitting': 'Further sitting in the same window',
  'extra-reading': 'Further reading of a sitting',
} as const satisfies Record<'attention' | AttentionCode | LeftOutReason, string>

export type OwnCode = keyof typeof DISPLAY

export const OWN_CODES = Object.keys(DISPLAY) as readonly OwnCode[]

export function ownCoding(code: OwnCode, canonicalBase: string): Coding {
  return { system: ownUrls(canonicalBase).codeSystem, code, display: DISPLAY[code] }
}

export function ownConcept(code: OwnCode, canonicalBase: string): CodeableConcept {
  return { coding: [ownCoding(code, canonicalBase)], text: DISPLAY[code] }
}
