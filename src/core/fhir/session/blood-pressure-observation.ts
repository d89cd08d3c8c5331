import type { Annotation, Extension, Observation, ObservationComponent } from 'fhir/r4.js'
import { frozen } from '../../basics/frozen.ts'
import type { Pressure } from '../../basics/pressure.ts'
import type { Finding } from '../../clinical/finding.ts'
import type { Reading, Session } from '../../clinical/session.ts'
import { writtenPosition } from '../body-position.ts'
import { bodySite } from '../body-site.ts'
import { ABSENT_UNKNOWN, LOINC, loincConcept, PROFILE, VITAL_SIGNS } from '../codes.ts'
import type { ConversionContext } from '../conversion-context.ts'
import { readingUuid } from '../identifiers.ts'
import { ownUrls } from '../own-urls.ts'
import { measuredQuantity, mmHgQuantity } from '../pressure-quantity.ts'
import { settingExtension } from './measurement-setting.ts'
import { observationFrame, observationKind } from './observation-frame.ts'
import { sharedByValue } from './shared-by-value.ts'

const BLOOD_PRESSURE = observationKind(
  { category: VITAL_SIGNS, code: loincConcept(LOINC.bloodPressurePanel) },
  PROFILE.bloodPressure,
)
const SYSTOLIC = componentKind(frozen(loincConcept(LOINC.systolic)))
const DIASTOLIC = componentKind(frozen(loincConcept(LOINC.diastolic)))

/** One of the two numbers, by what it comes to; those in mmHg are shared. */
interface ComponentKind {
  readonly code: ObservationComponent['code']
  readonly absent: ObservationComponent
  readonly ofMmHg: (value: number) => ObservationComponent
}

function componentKind(code: ObservationComponent['code']): ComponentKind {
  return {
    code,
    absent: frozen({ code, dataAbsentReason: ABSENT_UNKNOWN }),
    ofMmHg: sharedByValue((value) => ({ code, valueQuantity: mmHgQuantity(value) })),
  }
}

/**
 * One reading as an Observation of the R4 profile bp: 85354-9 with both components always, a missing value as a
 * `dataAbsentReason`. Findings of the reading and of the whole sitting stand in `note`, one each; they never change
 * a value. The patient's own words follow, under the patient's name. A position, an arm or a site that the source did
 * not state is not written.
 */
export function bloodPressureObservation(
  reading: Reading,
  session: Session,
  findings: readonly Finding[],
  context: ConversionContext,
): Observation {
  const own = ownUrls(context.canonicalBase)
  const uuid = readingUuid(context.sessionUuid, reading.ordinal)
  const identifier = { system: own.identifier.reading, value: uuid }
  const observation = observationFrame(BLOOD_PRESSURE, identifier, reading, session, context)
  const position =
    session.position === undefined ? undefined : writtenPosition(session.position, context.snomed)
  const setting = settingExtension(session.setting, own.extension.measurementSetting)
  const where = bodySite(session.arm, session.site, context.snomed)

  observation.extension = extensionsOf(position?.extension, setting)
  if (where !== undefined) observation.bodySite = where
  const notes = notesOf(reading, session, findings, context)
  if (notes.length > 0) observation.note = notes
  const component = [
    pressureComponent(SYSTOLIC, reading.systolic, own.extension.measuredQuantity),
    pressureComponent(DIASTOLIC, reading.diastolic, own.extension.measuredQuantity),
  ]
  if (position !== undefined && context.positionAs === 'component-and-extension')
    component.push(position.component)
  observation.component = component
  return observation
}

/** One list of constants for all readings of a session. */
function extensionsOf(position: Extension | undefined, setting: Extension): Extension[] {
  if (setting === last.setting && position === last.position) return last.list
  last = { position, setting, list: frozen(position === undefined ? [setting] : [position, setting]) }
  return last.list
}

let last: Extensions = { list: [] }

interface Extensions {
  readonly position?: Extension | undefined
  readonly setting?: Extension
  readonly list: Extension[]
}

function pressureComponent(
  { code, absent, ofMmHg }: ComponentKind,
  pressure: Pressure | null,
  measuredQuantityUrl: string,
): ObservationComponent {
  if (pressure === null) return absent
  if (pressure.unit === 'mmHg') return ofMmHg(pressure.value)
  return { code, valueQuantity: measuredQuantity(pressure, measuredQuantityUrl) }
}

function notesOf(
  reading: Reading,
  session: Session,
  findings: readonly Finding[],
  context: ConversionContext,
): Annotation[] {
  const notes: Annotation[] = []
  for (const finding of findings) {
    if (finding.reading === undefined || finding.reading === reading.ordinal)
      notes.push({ text: finding.text })
  }
  if (session.note !== undefined && session.note !== '') {
    notes.push({ authorReference: context.subject, text: session.note })
  }
  return notes
}
