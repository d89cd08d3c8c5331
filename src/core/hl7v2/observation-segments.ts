import type { Annotation, Device, Observation, ObservationComponent } from 'fhir/r4.js'
import { EXTENSION, LOINC, loincConcept, SYSTEM } from '../fhir/codes.ts'
import { OWN_EXTENSIONS } from '../fhir/own-urls.ts'
import { codedElement, ownElement } from './coded-element.ts'
import { hl7Time } from './hl7-time.ts'
import { type CodedType, type ObservedValue, observedValue } from './observed-value.ts'
import { ownValues } from './own-values.ts'
import { resultStatus } from './result-status.ts'
import { type Field, type Fields, segment } from './segment.ts'

/** What the segments of an Observation need beside it. */
export interface ReportContext {
  readonly version: '2.5.1' | '2.6'
  /** Namespace of our identifiers: who gave them. */
  readonly namespace: string
  /** OBR-22 where an Observation does not say when it was issued. RFC 3339 text. */
  readonly messageTime: string
  /** The message's monitors by the full URL that Observations refer to them with. */
  readonly devices: ReadonlyMap<string, Device>
  /** Our UUIDs of the Observations that stand in the message. */
  readonly reported: ReadonlySet<string>
  /** Whether they are another patient’s, and are taken back. */
  readonly isOfOther: boolean
}

/** One OBX before it has its number. */
interface Result {
  readonly code: Field
  readonly subId: string
  readonly value: ObservedValue
  readonly interpretation?: Field
  readonly remarks: readonly string[]
}

/**
 * One Observation as an OBR, its notes as NTE, and an OBX for each of its values with what is to be said of that value
 * as NTE behind it: the value or the components first, then position and site, then what our extensions hold.
 *
 * OBR-3 is our UUID, so a later version replaces the earlier one; OBX-4 joins the pair and never changes, because OBX-3
 * and OBX-4 together name the result that is replaced. What an Observation derives from is named in OBR-29 only where
 * it is one that stands in the same message (a monitor's status, of its reading): OBR-29 takes one parent, and an
 * average has many, which the notes count. The site stands in OBX-20 from 2.6 on, and in an OBX of its own before, which
 * has no such field (from memory: HL7 v2.6 section 7.4.2).
 * Sources: HL7 v2.5.1 sections 7.3.1 (ORU^R01), 7.4.1 (OBR), 7.4.2 (OBX); NTE stand where 7.3.1 has them.
 *
 * @param setId OBR-1, from 1.
 */
export function observationSegments(
  observation: Observation,
  setId: number,
  context: ReportContext,
): readonly string[] {
  const status = resultStatus(observation.status, context.isOfOther)
  const { effectivePeriod, issued } = observation
  const start = observation.effectiveDateTime ?? effectivePeriod?.start
  const end = effectivePeriod?.end
  const report = segment('OBR', {
    1: String(setId),
    3: ownNumber(observation, context),
    4: codedElement(observation.code),
    7: start === undefined ? undefined : hl7Time(start),
    8: end === undefined ? undefined : hl7Time(end),
    22: hl7Time(issued ?? context.messageTime),
    25: status.report,
    29: parentOf(observation, context),
  })
  const shared: Fields = {
    14: start === undefined ? undefined : hl7Time(start),
    17: observation.method === undefined ? undefined : codedElement(observation.method),
    18: deviceOf(observation, context),
    20:
      observation.bodySite === undefined || context.version === '2.5.1'
        ? undefined
        : codedElement(observation.bodySite),
  }
  return [
    report,
    ...commented(remarksOf(observation, context)),
    ...resultsOf(observation, context).flatMap(({ code, subId, value, interpretation, remarks }, at) => [
      segment('OBX', {
        1: String(at + 1),
        2: value.type,
        3: code,
        4: subId,
        5: value.value,
        6: value.units,
        8: interpretation,
        11: value.type === '' && status.result !== 'D' && status.result !== 'W' ? 'X' : status.result,
        ...shared,
      }),
      ...commented(remarks),
    ]),
  ]
}

/**
 * Our UUID of an Observation: its first identifier.
 *
 * @throws TypeError when it has none: a report without a number of ours could never be corrected.
 */
export function ownUuid({ identifier }: Observation): string {
  const own = identifier?.[0]?.value
  if (own === undefined)
    throw new TypeError('only an Observation that opens its identifiers with ours can be reported')
  return own
}

function ownNumber(observation: Observation, { namespace }: ReportContext): Field {
  return [ownUuid(observation), namespace]
}

function parentOf({ derivedFrom = [] }: Observation, context: ReportContext): Field | undefined {
  const [parent, ...others] = derivedFrom
  const uuid = parent?.reference?.replace(/^urn:uuid:/, '')
  if (uuid === undefined || others.length > 0 || !context.reported.has(uuid)) return undefined
  return ['', [uuid, context.namespace]]
}

function deviceOf({ device }: Observation, { devices, namespace }: ReportContext): Field | undefined {
  const uuid = devices.get(device?.reference ?? '')?.identifier?.[0]?.value ?? device?.identifier?.value
  return uuid === undefined ? undefined : [uuid, namespace]
}

/** NTE-2 `L`: whoever fills the order speaks. Source: HL7 table 0105. */
function commented(texts: readonly string[]): readonly string[] {
  return texts.map((text, at) => segment('NTE', { 1: String(at + 1), 2: 'L', 3: text }))
}

function remarksOf(observation: Observation, { devices }: ReportContext): readonly string[] {
  const device = devices.get(observation.device?.reference ?? '')
  const vouching = observation.meta?.security?.find(({ system }) => system === SYSTEM.observationValue)
  return [
    ...(observation.note ?? []).map(noteText),
    ...(vouching?.display === undefined ? [] : [`Values: ${vouching.display}.`]),
    ...(device === undefined ? [] : [deviceText(device)]),
  ]
}

function noteText({ authorReference, text }: Annotation): string {
  return authorReference === undefined ? text : `In the patient’s own words: ${text}`
}

function deviceText({ manufacturer, modelNumber, serialNumber, type }: Device): string {
  const make = [manufacturer, modelNumber].filter((part) => part !== undefined).join(' ')
  const serial = serialNumber === undefined ? '' : `, serial ${serialNumber}`
  return `Measured with: ${make === '' ? (type?.text ?? 'monitor not named') : make}${serial}.`
}

function resultsOf(observation: Observation, context: ReportContext): readonly Result[] {
  const coded: CodedType = context.version === '2.5.1' ? 'CE' : 'CWE'
  const { extension = [], component = [] } = observation
  const own = observedValue(observation, coded)
  const position = positionOf(observation)
  const found: readonly Result[] = [
    ...(own === undefined ? [] : [result(observation, own)]),
    ...component.map((one) => result(one, observedValue(one, coded) ?? NOTHING)),
    ...(position === undefined ? [] : [result(position, observedValue(position, coded) ?? NOTHING)]),
    ...(observation.bodySite === undefined || context.version !== '2.5.1'
      ? []
      : [plain(ownElement('body-site', 'Body site'), '1', observedSite(observation.bodySite, coded))]),
    ...ownValues(extension).map(({ code, text, subId, value }) =>
      plain(ownElement(code, text), subId, observedValue(value, coded) ?? NOTHING),
    ),
  ]
  const counted = countRemark(observation)
  return found.map((one, at) =>
    at === 0 && counted !== undefined ? { ...one, remarks: [counted, ...one.remarks] } : one,
  )
}

const NOTHING: ObservedValue = { type: '', value: '' }

function result(of: Observation | ObservationComponent, value: ObservedValue): Result {
  const interpretation = (of.interpretation ?? []).flatMap(({ coding }) => coding?.[0]?.code ?? [])
  const one = plain(codedElement(of.code), '1', value)
  // OBX-8 is a code of table 0078, of which R4's interpretations are a part. Source: HL7 v2.5.1 section 7.4.2.8.
  return interpretation[0] === undefined ? one : { ...one, interpretation: interpretation[0] }
}

function plain(code: Field, subId: string, value: ObservedValue): Result {
  return { code, subId, value, remarks: value.remark === undefined ? [] : [value.remark] }
}

function observedSite(bodySite: NonNullable<Observation['bodySite']>, coded: CodedType): ObservedValue {
  return { type: coded, value: codedElement(bodySite) }
}

/** The position that stands in R4's extension alone, under LOINC's code for it. */
function positionOf({ extension = [], component = [] }: Observation): ObservationComponent | undefined {
  const code = loincConcept(LOINC.bodyPosition)
  const written = component.some((one) =>
    one.code.coding?.some((coding) => coding.code === LOINC.bodyPosition.code),
  )
  const value = extension.find(({ url }) => url === EXTENSION.bodyPosition)?.valueCodeableConcept
  return written || value === undefined ? undefined : { code, valueCodeableConcept: value }
}

/** How many readings an average is the mean of: no field of HL7 v2 holds it. */
function countRemark({ extension = [] }: Observation): string | undefined {
  const used = extension.find(({ url }) => url === EXTENSION.numberOfMeasurements)?.valueInteger
  const received = extension.find(({ url }) =>
    url.endsWith(`/StructureDefinition/${OWN_EXTENSIONS.readingsReceived}`),
  )?.valueInteger
  if (used === undefined) return undefined
  const of = received === undefined ? '' : ` of ${received}`
  return `Mean of ${used}${of} readings received.`
}
