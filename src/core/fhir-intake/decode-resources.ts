import {
  type DecodedRecord,
  decodedFrom,
  type RefusedPart,
  refusedPart,
  remark,
} from '../basics/decoded-record.ts'
import { type Issue, inputError } from '../basics/issue.ts'
import { isJsonObject, type JsonObject } from '../basics/json-object.ts'
import { isNonEmpty, ok, type Result, refused } from '../basics/result.ts'
import type { SourceRecord } from '../basics/source-record.ts'
import { type PlacedResource, type RefusedEntry, resourcesOf } from './bundle-resources.ts'
import { type MeasuredPressures, measuredPressures, otherUnit } from './measured-components.ts'
import { pairedPressures } from './pair-pressures.ts'
import { ReferencedResources } from './resolve-reference.ts'
import { sharedIdIssue, sharedIds, subjectOf } from './subjects.ts'
import { versionIssue, versionsOfOne } from './versions-of-one.ts'

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

/**
 * Decodes a Bundle (collection, searchset, batch or transaction), an array, or one Observation of FHIR R4 into trees that
 * a mapping reads: one record for each Observation, as it was sent, with what it points at under `resolved`. A systolic
 * and a diastolic pressure that were sent apart, of one subject and moment, are one record. Observations whose subject
 * cannot be told from another one of the document are refused, and so are several versions of one Observation. Other
 * resources are read for what refers to them; types that nothing here can use are passed over with a remark. Status, codes,
 * `modifierExtension` and comparators are the mapping's to judge. An entry or Observation that cannot be read is refused
 * alone, in its place, with all its issues by FHIRPath; a Bundle that brings none, as a whole. Never throws.
 *
 * An Observation alone keeps its text; one out of a Bundle or array is written again, with the numbers JSON has for it.
 *
 * @param sent its value is the parsed document.
 */
export function decodeResources(sent: SourceRecord): Result<readonly (DecodedRecord | RefusedPart)[]> {
  const found = resourcesOf(sent.value)
  if (!found.ok) return found
  const entries = found.value.map(lookedAt)
  const resources = found.value.filter((entry) => 'resource' in entry)
  const referenced = new ReferencedResources(resources)
  const observations = entries.filter((entry) => isLookedAt(entry))
  const pairs = pairedPressures(observations)
  const paired = new Set(pairs.values())
  const subjects = new Map(observations.map((one) => [one, subjectOf(one, referenced)]))
  const shared = sharedIds([...subjects.values()])
  const versions = versionsOfOne(observations, (one) => subjects.get(one)?.id)
  // What was left out is told once, with the first Observation.
  let remarks = leftOut(resources)
  const records: (DecodedRecord | RefusedPart)[] = []
  for (const entry of entries) {
    if ('issue' in entry) {
      records.push(refusedPart(placed(sent, entry.path, undefined, entry.text), [entry.issue]))
    } else if (isLookedAt(entry) && !paired.has(entry)) {
      const { resource, path } = entry
      const diastolic = pairs.get(entry)
      const text =
        path === '' ? sent.text : JSON.stringify(diastolic ? [resource, diastolic.resource] : resource)
      const subject = subjects.get(entry)?.id
      const issues = [
        ...entry.issues,
        ...(diastolic === undefined ? [] : pairIssues(entry, diastolic)),
        ...(subject !== undefined && shared.has(subject) ? [sharedIdIssue(entry.at)] : []),
        ...[entry, diastolic].flatMap((one) => (one && versions.has(one) ? [versionIssue(one.at)] : [])),
      ]
      if (isNonEmpty(issues)) {
        records.push(refusedPart(placed(sent, path, undefined, text), issues))
        continue
      }
      const unit = entry.unit ?? diastolic?.unit
      const resolved: Resolved = {
        ...(subject === undefined ? {} : { subject }),
        ...deviceOf(resource, referenced),
        ...(unit === undefined ? {} : { unit }),
        ...(diastolic === undefined ? {} : { diastolic: diastolic.resource }),
      }
      records.push({ record: placed(sent, path, { ...resource, resolved }, text), remarks })
      remarks = []
    }
  }
  return records.length === 0 ? refused([noObservation()]) : ok(records)
}

function* pairIssues(systolic: LookedAt, diastolic: LookedAt): Generator<Issue> {
  yield* diastolic.issues
  if (systolic.unit === undefined || diastolic.unit === undefined || systolic.unit === diastolic.unit) return
  yield otherUnit(`${diastolic.at}.valueQuantity.code`)
}

function leftOut(resources: readonly PlacedResource[]): readonly Issue[] {
  const other = resources.find(
    ({ resource }) => resource.resourceType !== 'Observation' && !REFERRED_TO.has(resource.resourceType),
  )
  if (other === undefined) return []
  const remedy = 'None needed: other resources were left out.'
  return [remark(other.at, 'Observations, Devices and Patients', remedy)]
}

/** An Observation, and what its pressures look like. */
type LookedAt = PlacedResource & MeasuredPressures

function lookedAt(entry: PlacedResource | RefusedEntry): PlacedResource | RefusedEntry | LookedAt {
  if (!('resource' in entry) || entry.resource.resourceType !== 'Observation') return entry
  return { ...entry, ...measuredPressures(entry.resource, entry.at) }
}

function isLookedAt(entry: PlacedResource | RefusedEntry | LookedAt): entry is LookedAt {
  return 'issues' in entry
}

/** Types that are read for the Observations that refer to them. */
const REFERRED_TO: ReadonlySet<unknown> = new Set(['Device', 'Patient'])

/** @param path below the document; empty for the document itself. */
function placed(sent: SourceRecord, path: string, value: unknown, text: string): SourceRecord {
  const record = decodedFrom(sent, value, text)
  return path === '' ? record : { ...record, path: `${sent.path ?? '$'}${path}` }
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
