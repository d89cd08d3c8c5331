import type { Observation } from 'fhir/r4.js'
import type { Reading, Session } from '../../clinical/session.ts'
import { LOINC, loincConcept, PROFILE, VITAL_SIGNS } from '../codes.ts'
import type { ConversionContext } from '../conversion-context.ts'
import { pulseUuid } from '../identifiers.ts'
import { ownUrls } from '../own-urls.ts'
import { perMinuteQuantity } from '../pressure-quantity.ts'
import { observationFrame, observationKind } from './observation-frame.ts'
import { sharedByValue } from './shared-by-value.ts'

const PULSE = observationKind(
  { category: VITAL_SIGNS, code: loincConcept(LOINC.heartRate) },
  PROFILE.heartRate,
)

const perMinute = sharedByValue(perMinuteQuantity)

/** The pulse the cuff counted, in beats per minute, as an Observation of the R4 profile heartrate. */
export function pulseObservation(
  pulse: number,
  reading: Reading,
  session: Session,
  context: ConversionContext,
): Observation {
  const system = ownUrls(context.canonicalBase).identifier.pulse
  const identifier = { system, value: pulseUuid(context.sessionUuid, reading.ordinal) }
  const observation = observationFrame(PULSE, identifier, reading, session, context)
  observation.valueQuantity = perMinute(pulse)
  return observation
}
