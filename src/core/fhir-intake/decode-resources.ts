import { type DecodedRecord, remark } from '../basics/decoded-record.ts'
import { type Issue, inputError } from '../basics/issue.ts'
import { isJsonObject, type JsonObject, objectsOf } from '../basics/json-object.ts'
import { isNonEmpty, ok, type Result, refused } from '../basics/result.ts'
import type { SourceRecord } from '../basics/source-record.ts'
import { type PlacedResource, resourcesOf } from './bundle-resources.ts'
import { measuredPressures, otherUnit } from './measured-components.ts'
import { pairedPressures } from './pair-pressures.ts'
import { idIn, ReferencedResources } from './resolve-reference.ts'

/**
 * What is put beside the elements of an Observation, under `resolved`: what it points at, and what no path can say. A
 * plain JSON object; what is not known is absent.
 */
export interface Resolved {
  /** The subject's own id at the source: its one identifier, or the id in the reference to it. */
  readonly subject?: string
  /** The Device resource the Observation names, where it came along. */
  readonly device?: JsonObject
  /** That a device is named at all, along or not: then nobody typed the numbers. */
  readonly measuredBy?: 'device'
  /** The one UCUM unit of its pressures. */
  readonly unit?: string
  /** Of a systolic pressure that was sent apart: the Observation with the diastolic one. */
  readonly diastolic?: JsonObject
}

/** Issues told of one document. */
const MOST_ISSUES = 100

/**
 * Decodes a Bundle (collection, searchset, batch or transaction), an array, or one Observation of FHIR R4 into trees that
 * a mapping reads: one record for each Observation, as it was sent, with what it points at under `resolved`. A systolic
 * and a diastolic pressure that were sent apart, of one subject and moment, are one record. Other
 * resources are read for what refers to them; types that nothing here can use are passed over with a remark. Status,
 * codes, `modifierExtension` and comparators are the mapping's to judge. All issues of a document come back at once, by
 * FHIRPath. Never throws.
 *
 * An Observation alone keeps its text; one out of a Bundle or array is written again, with the numbers JSON has for it.
 *
 * @param sent its value is the parsed document.
 */
export function decodeResources(sent: SourceRecord): Result<readonly DecodedRecord[]> {
  const found = resourcesOf(sent.value)
  if (!found.ok) return found
  const referenced = new ReferencedResources(found.value)
  const observations = found.value
    .filter(({ resource }) => resource.resourceType === 'Observation')
    .map((placed) => ({ ...placed, ...measuredPressures(placed.resource, placed.at) }))
  const pairs = pairedPressures(observations)
  const paired = new Set(pairs.values())
  const issues: Issue[] = []
  const records: DecodedRecord[] = []
  for (const placed of observations) {
    const { resource, unit } = placed
    issues.push(...placed.issues)
    if (issues.length >= MOST_ISSUES) break
    if (paired.has(placed)) continue
    const diastolic = pairs.get(placed)
    const both = unit ?? diastolic?.unit
    if (diastolic?.unit !== undefined && diastolic.unit !== both)
      issues.push(otherUnit(`${diastolic.at}.valueQuantity.code`))
    const resolved: Resolved = {
      ...subjectOf(resource, referenced),
      ...deviceOf(resource, referenced),
      ...(both === undefined ? {} : { unit: both }),
      ...(diastolic === undefined ? {} : { diastolic: diastolic.resource }),
    }
    records.push({ record: recordOf(sent, placed, resolved), remarks: [] })
  }
  if (isNonEmpty(issues)) return refused(issues)
  const [first, ...others] = records
  if (first === undefined) return refused([noObservation()])
  const other = found.value.find(
    ({ resource }) => resource.resourceType !== 'Observation' && !REFERRED_TO.has(resource.resourceType),
  )
  const remarks =
    other === undefined
      ? []
      : [
          remark(
            other.at,
            'Observations, Devices and Patients',
            'None needed: other resources were left out.',
          ),
        ]
  return ok([{ ...first, remarks }, ...others])
}

/** Types that are read for the Observations that refer to them. */
const REFERRED_TO: ReadonlySet<unknown> = new Set(['Device', 'Patient'])

function recordOf(sent: SourceRecord, placed: PlacedResource, resolved: Resolved): SourceRecord {
  const { resource, path } = placed
  const value = { ...resource, resolved }
  const within = path === '' ? sent.path : `${sent.path ?? '$'}${path}`
  return {
    value,
    text:
      path === ''
        ? sent.text
        : JSON.stringify(resolved.diastolic ? [resource, resolved.diastolic] : resource),
    ...(sent.line === undefined ? {} : { line: sent.line }),
    ...(within === undefined ? {} : { path: within }),
  }
}

/** An identifier says who it is wherever the resource lies; several would leave open which one is meant. */
function subjectOf(observation: JsonObject, referenced: ReferencedResources): Pick<Resolved, 'subject'> {
  const { subject } = observation
  if (!isJsonObject(subject)) return {}
  const patient = referenced.resolve(subject, observation)
  const identifier = isJsonObject(subject.identifier) ? subject.identifier : onlyOne(patient?.identifier)
  const own = identifier?.value
  const id = typeof own === 'string' ? own : (idIn(subject, 'Patient') ?? ownId(patient))
  return typeof id === 'string' ? { subject: id } : {}
}

function onlyOne(identifiers: unknown): JsonObject | undefined {
  const found = objectsOf(identifiers)
  return found.length === 1 ? found[0] : undefined
}

function ownId(patient: JsonObject | undefined): unknown {
  return patient?.resourceType === 'Patient' ? patient.id : undefined
}

function deviceOf(
  observation: JsonObject,
  referenced: ReferencedResources,
): Pick<Resolved, 'device' | 'measuredBy'> {
  if (!isJsonObject(observation.device)) return {}
  const device = referenced.resolve(observation.device, observation)
  return device?.resourceType === 'Device' ? { device, measuredBy: 'device' } : { measuredBy: 'device' }
}

function noObservation(): Issue {
  return inputError(
    'required',
    'MISSING_KEY',
    '',
    'at least one Observation',
    'Send the readings as Observations.',
  )
}
