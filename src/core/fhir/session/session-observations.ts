import type { Observation } from 'fhir/r4.js'
import type { Finding } from '../../clinical/finding.ts'
import type { Session } from '../../clinical/session.ts'
import type { ConversionContext } from '../conversion-context.ts'
import { bloodPressureObservation } from './blood-pressure-observation.ts'
import { monitorStatusObservation } from './monitor-status-observation.ts'
import { pulseObservation } from './pulse-observation.ts'

/**
 * A session as FHIR R4 Observations, in the order of its readings: each reading's blood pressure, then its pulse and
 * what the monitor reported, where there are any. Same session and context in, same Observations out, byte for byte.
 *
 * R4 keeps in one Observation what shares method, device and time and has no meaning alone; a pulse has its own, so
 * it is an Observation of its own. Source: FHIR R4 4.0.1 observation.html, grouping.
 */
export function sessionObservations(
  session: Session,
  findings: readonly Finding[],
  context: ConversionContext,
): readonly Observation[] {
  const observations: Observation[] = []
  for (const reading of session.readings) {
    observations.push(bloodPressureObservation(reading, session, findings, context))
    if (reading.pulse !== undefined) {
      observations.push(pulseObservation(reading.pulse, reading, session, context))
    }
    if (reading.monitorSays !== undefined) {
      const status = monitorStatusObservation(reading.monitorSays, reading, session, context)
      if (status !== undefined) observations.push(status)
    }
  }
  return observations
}
