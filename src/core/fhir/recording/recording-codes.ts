import type { CodeableConcept } from 'fhir/r4.js'
import type { Span } from '../../clinical/ambulatory/recording-average.ts'
import { type Code, LOINC, loincConcept } from '../codes.ts'
import { ownUrls } from '../own-urls.ts'

/**
 * Means that no LOINC code was found for, none is guessed, by the words of our own code system,
 * `profiles/code-systems/home-bp-gateway.json`.
 */
const OWN_MEANS = {
  day: { code: 'day-mean', display: 'Blood pressure day mean of a 24-hour recording' },
  night: { code: 'night-mean', display: 'Blood pressure night mean of a 24-hour recording' },
} as const satisfies Record<Exclude<Span, '24-hours'>, Code>

/** The codes of one mean: of the Observation and of its two components. */
export interface SpanCodes {
  readonly panel: CodeableConcept
  readonly systolic: CodeableConcept
  readonly diastolic: CodeableConcept
}

/**
 * The 24-hour mean has LOINC codes of its own. A day or a night mean is ours, and its components are LOINC's means over
 * a stated time, which say nothing of how long; 8480-6 and 8462-4 would make them single readings.
 * Sources: HL7 Vital Signs with Qualifying Elements 2.0.0 (97844-5, 8490-5, 8472-3); loinc.org/96607-7 (96608-5, 96609-3).
 */
export function spanCodes(span: Span, canonicalBase: string): SpanCodes {
  if (span === '24-hours') {
    return {
      panel: loincConcept(LOINC.twentyFourHourPanel),
      systolic: loincConcept(LOINC.twentyFourHourSystolic),
      diastolic: loincConcept(LOINC.twentyFourHourDiastolic),
    }
  }
  const { code, display } = OWN_MEANS[span]
  return {
    panel: { coding: [{ system: ownUrls(canonicalBase).codeSystem, code, display }], text: display },
    systolic: loincConcept(LOINC.meanSystolic),
    diastolic: loincConcept(LOINC.meanDiastolic),
  }
}
