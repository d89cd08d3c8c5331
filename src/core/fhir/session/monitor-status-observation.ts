import type { CodeableConcept, Observation, ObservationComponent } from 'fhir/r4.js'
import { frozen } from '../../basics/frozen.ts'
import type { MonitorSays, Reading, Session } from '../../clinical/session.ts'
import { MDC, STATUS_BITS, SYSTEM } from '../codes.ts'
import { type ConversionContext, readingReference } from '../conversion-context.ts'
import { monitorStatusUuid, readingUuid } from '../identifiers.ts'
import { ownUrls } from '../own-urls.ts'
import { observationFrame, observationKind } from './observation-frame.ts'

const MONITOR_STATUS = observationKind({
  category: [{ coding: [{ system: SYSTEM.personalHealthDeviceCategory, code: 'phd' }] }],
  code: {
    coding: [{ system: SYSTEM.mdc, ...MDC.bloodPressureStatus }],
    text: 'Blood pressure monitor status',
  },
})

const BITS: readonly (readonly [keyof MonitorSays, CodeableConcept])[] = frozen([
  ['bodyMovement', bit(STATUS_BITS.bodyMovement)],
  ['cuffTooLoose', bit(STATUS_BITS.cuffTooLoose)],
  ['irregularPulse', bit(STATUS_BITS.irregularPulse)],
  ['improperPosition', bit(STATUS_BITS.improperPosition)],
])

/**
 * What the monitor itself reported with a reading, as an Observation of its own that derives from the reading. Only
 * bits the monitor reported are written, true or false; undefined when it reported none.
 * Source: HL7 Personal Health Device guide 2.0.0, BITs enumeration observations, 8410608.
 */
export function monitorStatusObservation(
  says: MonitorSays,
  reading: Reading,
  session: Session,
  context: ConversionContext,
): Observation | undefined {
  const component: ObservationComponent[] = []
  for (const [key, code] of BITS) {
    const value = says[key]
    if (value !== undefined) component.push({ code, valueBoolean: value })
  }
  if (component.length === 0) return undefined
  const system = ownUrls(context.canonicalBase).identifier.monitorStatus
  const identifier = { system, value: monitorStatusUuid(context.sessionUuid, reading.ordinal) }
  const observation = observationFrame(MONITOR_STATUS, identifier, reading, session, context)
  observation.derivedFrom = [readingReference(readingUuid(context.sessionUuid, reading.ordinal), context)]
  observation.component = component
  return observation
}

function bit({ code, display }: { code: string; display: string }): CodeableConcept {
  return { coding: [{ system: SYSTEM.asn1Bits, code, display }], text: display }
}
