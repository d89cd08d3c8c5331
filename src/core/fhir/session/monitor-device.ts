import type { CodeableConcept, Device } from 'fhir/r4.js'
import type { MonitorDevice, Session } from '../../clinical/session.ts'
import { SNOMED, SYSTEM } from '../codes.ts'
import type { ConversionContext } from '../conversion-context.ts'
import { deviceUuid } from '../identifiers.ts'
import { ownUrls } from '../own-urls.ts'

/**
 * The blood pressure monitor as a Device, or undefined when the record names none. It is the cuff, never the phone or
 * this gateway. Source: FHIR R4 4.0.1, Observation.device.
 */
export function monitorDevice(session: Session, context: ConversionContext): Device | undefined {
  const described = session.device
  if (described === undefined || Object.values(described).every((value) => value === undefined))
    return undefined
  const uuid = deviceUuid(context.source, session.subject, described)
  const device: Device = {
    resourceType: 'Device',
    identifier: [{ system: ownUrls(context.canonicalBase).identifier.device, value: uuid }],
    type: typeOf(described.kind, context.snomed),
  }
  if (context.withIds === true) device.id = uuid
  if (described.manufacturer !== undefined) device.manufacturer = described.manufacturer
  if (described.model !== undefined) device.modelNumber = described.model
  if (described.serial !== undefined) device.serialNumber = described.serial
  return device
}

const KINDS: Readonly<Record<NonNullable<MonitorDevice['kind']>, { text: string; automatic: boolean }>> = {
  'upper-arm-automatic': { text: 'Automatic upper arm blood pressure monitor', automatic: true },
  'wrist-automatic': { text: 'Automatic wrist blood pressure monitor', automatic: true },
  'upper-arm-manual': { text: 'Manual upper arm blood pressure monitor', automatic: false },
}

function typeOf(kind: MonitorDevice['kind'], snomed: boolean): CodeableConcept {
  if (kind === undefined) return { text: 'Blood pressure monitor' }
  const { text, automatic } = KINDS[kind]
  return snomed && automatic
    ? { coding: [{ system: SYSTEM.snomed, code: SNOMED.automaticSphygmomanometer }], text }
    : { text }
}
