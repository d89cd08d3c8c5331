import type { Bundle, BundleEntry, Device, Observation } from 'fhir/r4.js'
import type { PatientIdentifier } from '../exchange/asked/patient-search.ts'
import { isDevice, isObservation } from '../fhir/kinds-of-resources.ts'
import type { MessageDestination } from '../registry/destination.ts'
import { hl7Time } from './hl7-time.ts'
import { observationSegments, ownUuid, type ReportContext } from './observation-segments.ts'
import { type Field, segment } from './segment.ts'

export interface OruContext {
  readonly destination: MessageDestination
  readonly patient: PatientIdentifier
  /**
   * MSH-10: the same whenever the same thing is sent again; receivers tell repetitions by it. At most 20 characters. Empty
   * where it follows from the rest of the message, which is given it with `withControlId`.
   */
  readonly controlId: string
  /** MSH-7: when the thing was issued, not when it is sent, so that the same thing is the same message. RFC 3339 text. */
  readonly messageTime: string
  /** Set when the patient is one that the results were reported of by mistake: they are taken back. */
  readonly isOfOther?: true
}

/**
 * The Observations of a rendered bundle as one ORU^R01 message, segments ended by CR, not yet framed. Readings, averages
 * and calls for attention alike: each becomes an OBR with its values as OBX and its notes as NTE. Devices stand in
 * OBX-18 and a note; Provenance has no place in it and is left out. Numbers are those of the resources, digit for digit.
 * Source: HL7 v2.5.1 chapter 7 (ORU, OBR, OBX), tables 0085 and 0123.
 *
 * @throws TypeError when nothing is left to report, or the bundle is none that `core/fhir` makes.
 */
export function oruMessage(bundle: Bundle, context: OruContext): string {
  const { destination } = context
  const observations = reportedIn(bundle, destination)
  if (observations.length === 0)
    throw new TypeError('a bundle without an Observation to report is no message')
  const devices = (bundle.entry ?? []).flatMap(({ fullUrl, resource }): [string, Device][] =>
    isDevice(resource) && fullUrl !== undefined ? [[fullUrl, resource]] : [],
  )
  const report: ReportContext = {
    version: destination.version,
    namespace: namespaceOf(destination.sender.application),
    messageTime: context.messageTime,
    devices: new Map(devices),
    reported: new Set(observations.map(ownUuid)),
    isOfOther: context.isOfOther === true,
  }
  const segments = [
    header(context),
    patient(context),
    ...observations.flatMap((one, at) => observationSegments(one, at + 1, report)),
  ]
  return segments.map((one) => `${one}\r`).join('')
}

/**
 * What a message tells of a bundle: its Observations, but for new readings where the destination wants none. Changes of
 * readings are told all the same: they are rendered only where the destination holds what they change.
 */
export function reportedIn(
  { entry = [] }: Bundle,
  destination: Pick<MessageDestination, 'readings'>,
): readonly Observation[] {
  return entry.flatMap((one) =>
    isObservation(one.resource) && (destination.readings !== 'never' || !isNewReading(one.resource, one))
      ? [one.resource]
      : [],
  )
}

function header({ destination, controlId, messageTime }: OruContext): string {
  const { sender, receiver, version, processing, settledBy } = destination
  return segment('MSH', {
    3: designator(sender.application),
    4: designator(sender.facility),
    5: designator(receiver.application),
    6: designator(receiver.facility),
    7: hl7Time(messageTime),
    9: ['ORU', 'R01', 'ORU_R01'],
    10: controlId,
    11: processing,
    12: version,
    // Which acknowledgements we ask for, always or never: of what was stored, and of what was filed. HL7 table 0155.
    15: settledBy === 'commit' ? 'AL' : 'NE',
    16: settledBy === 'commit' ? 'NE' : 'AL',
    18: 'UNICODE UTF-8',
  })
}

/**
 * The patient by the clinic's identifier alone. PID-5 must be there, and says that no name is given: an empty legal
 * name and one of type U, unspecified. Source: HL7 v2.5.1 section 3.4.2.5 (from memory).
 */
function patient({ destination, patient: { value } }: OruContext): string {
  return segment('PID', {
    1: '1',
    3: [value, '', '', destination.authority, 'MR'],
    5: { repeated: ['', ['', '', '', '', '', '', 'U']] },
  })
}

/** An HD: a namespace alone, or with a universal id and its type, as `BPGW^1.2.3^ISO` in the settings. */
function designator(written: string): Field {
  return written.split('^')
}

function namespaceOf(application: string): string {
  return application.split('^')[0] ?? ''
}

/** What a session brought is told by the kind of identifier that we give it. */
function isNewReading({ identifier }: Observation, { request }: BundleEntry): boolean {
  return (
    request?.method !== 'PUT' && /\/(?:reading|pulse|monitor-status)$/.test(identifier?.[0]?.system ?? '')
  )
}
