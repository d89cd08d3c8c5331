import type { CodeableConcept } from 'fhir/r4.js'
import type { AttentionCode } from '../../clinical/finding.ts'
import { ownUrls } from '../own-urls.ts'

/**
 * What calls for attention, in the words of our own code system, `profiles/code-systems/home-bp-gateway.json`: no
 * published one has codes for it. The same system has the reasons for which a reading is left out of an average.
 */
const DISPLAY = {
  attention: 'Call for attention',
  'very-high': 'Very high reading',
  'very-low': 'Very low reading',
  'irregular-pulse-repeated': 'Irregular pulse reported repeatedly',
  'arms-differ': 'Arms differ',
  'fall-on-standing': 'Fall on standing up',
} as const satisfies Record<'attention' | AttentionCode, string>

/** @param code of a call, or `attention` for what they all are. */
export function attentionConcept(code: 'attention' | AttentionCode, canonicalBase: string): CodeableConcept {
  const display = DISPLAY[code]
  return { coding: [{ system: ownUrls(canonicalBase).codeSystem, code, display }], text: display }
}
