import { groupedBy } from '../basics/grouped-by.ts'
import { type Issue, inputError } from '../basics/issue.ts'
import { type JsonObject, objectsOf } from '../basics/json-object.ts'

interface Told {
  readonly resource: JsonObject
  readonly measures?: 'panel' | 'systolic' | 'diastolic'
}

/**
 * Observations of one patient that are versions of each other, in one document: taken for readings beside each other, both
 * would count. They are when they have the same id; or where one says that it was changed, when they have an identifier,
 * the moment and what they measure in common. One that came twice with the same content is one, and none of these.
 * Sources: FHIR R4 4.0.1, Resource.id, unique on its server; value set observation-status, amended and corrected.
 *
 * @param subjectOf whose an Observation is; undefined where that cannot be told.
 */
export function versionsOfOne<T extends Told>(
  observations: readonly T[],
  subjectOf: (one: T) => string | undefined,
): ReadonlySet<T> {
  const found = new Set<T>()
  const addAll = (all: readonly T[]) => {
    const contents = new Set(all.map(({ resource }) => JSON.stringify(resource)))
    if (contents.size > 1) for (const one of all) found.add(one)
  }
  const known = observations.filter((one) => subjectOf(one) !== undefined)
  for (const all of grouped(known, (one) => idsOf(one, subjectOf(one)))) addAll(all)
  for (const all of grouped(known, (one) => identifiersOf(one, subjectOf(one)))) {
    if (all.some(({ resource }) => CHANGED.has(resource.status))) addAll(all)
  }
  return found
}

/** @param at of the Observation. */
export function versionIssue(at: string): Issue {
  const expected = 'one version of each Observation: this document has several of this one'
  return inputError('conflict', 'SAME_ID_OTHER_CONTENT', at, expected, 'Send the last version alone.')
}

const CHANGED: ReadonlySet<unknown> = new Set(['amended', 'corrected'])

function idsOf({ resource: { id } }: Told, subject: string | undefined): readonly string[] {
  return typeof id === 'string' ? [JSON.stringify([subject, id])] : []
}

function identifiersOf({ resource, measures }: Told, subject: string | undefined): readonly string[] {
  const { effectiveDateTime, effectiveInstant, identifier } = resource
  const moment = effectiveDateTime ?? effectiveInstant
  if (measures === undefined || moment === undefined) return []
  return objectsOf(identifier).flatMap(({ system, value }) =>
    typeof value === 'string' ? [JSON.stringify([subject, measures, moment, system, value])] : [],
  )
}

function grouped<T>(all: readonly T[], keysOf: (one: T) => readonly string[]): readonly (readonly T[])[] {
  const keyed = all.flatMap((one) => keysOf(one).map((key) => ({ key, one })))
  return [...groupedBy(keyed, ({ key }) => key).values()].map((group) => group.map(({ one }) => one))
}
