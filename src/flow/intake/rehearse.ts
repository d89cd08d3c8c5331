import type { Issue } from '../../core/basics/issue.ts'
import type { JsonObject } from '../../core/basics/json-object.ts'
import type { Finding } from '../../core/clinical/finding.ts'
import { ignoredOf } from '../../core/mapping/apply/ignored-of.ts'
import type { MappedSitting, Origin, SourcePlace } from '../../core/mapping/apply/mapped-sitting.ts'
import { translateIssues } from '../../core/mapping/apply/translate-issue.ts'
import type { Mapping } from '../../core/mapping/mapping.ts'
import { convertRecord } from '../check/convert-record.ts'
import type { KnownPerson, RecordContext } from '../check/read-record.ts'
import type { MappedArrival } from './mapped-intake.ts'

/** What would become of source records, field by field. Nothing of it is kept. */
export interface Rehearsal {
  /** Whether a session could be kept, or what became of the records instead. */
  readonly verdict: 'passes' | 'withdraws' | 'refused' | 'skipped'
  /** 1-based lines, or places in the document, of the records it is about. */
  readonly sources: readonly SourcePlace[]
  /** The session record that the mapping makes; absent where it makes none. */
  readonly record?: JsonObject
  readonly fields: readonly RehearsedField[]
  /** Places of the session record that rules could fill, and for which the source has nothing. */
  readonly unfilled: readonly RehearsedField[]
  /** Values of the source that no rule reads. */
  readonly ignored: readonly SourcePlace[]
  /** What keeps it from being taken. */
  readonly issues: readonly Issue[]
  /** What was passed over or read with a tolerance. */
  readonly remarks: readonly Issue[]
  /** What the check of technique and plausibility would note. */
  readonly findings: readonly Finding[]
  /** FHIR Observations the session would become. */
  readonly observations: number
  /** Id of the session that is taken back. */
  readonly withdraws?: string
  /** Whether a record says that it takes the place of what was sent before. */
  readonly corrects?: true
  /** Why the records are left out, as a clause. */
  readonly because?: string
}

export interface RehearsedField extends Origin {
  /** Place in the session record: `readings[0].systolic`. */
  readonly place: string
}

/** What a rehearsal is made with: as a record is read, but the person by subject. */
export type RehearsalContext = Omit<RecordContext, 'person'> & {
  readonly personOf: (subject: string) => KnownPerson | undefined
}

/** Takes what a mapping made through read, check, convert and validate. Pure: keeps and sends nothing. */
export function rehearse(
  { incoming, sources, remarks }: MappedArrival,
  mapping: Mapping,
  context: RehearsalContext,
): Rehearsal {
  const told = {
    sources: sources.map(({ line, path = '$' }) => ({ ...(line === undefined ? {} : { line }), path })),
    ignored: sources.flatMap((source) =>
      ignoredOf(mapping, source).map((path) =>
        source.line === undefined ? { path } : { line: source.line, path },
      ),
    ),
    remarks,
  }
  const nothing = { fields: [], unfilled: [], issues: [], findings: [], observations: 0 }
  if ('skipped' in incoming) return { verdict: 'skipped', ...told, ...nothing, because: incoming.skipped }
  if ('issues' in incoming) return { verdict: 'refused', ...told, ...nothing, issues: incoming.issues }
  if ('withdrawal' in incoming)
    return { verdict: 'withdraws', ...told, ...nothing, withdraws: incoming.withdrawal.id }
  if (!('sitting' in incoming)) throw new Error('a record of our own needs no mapping')
  const { sitting } = incoming
  const subject = typeof sitting.record.subject === 'string' ? sitting.record.subject : ''
  const converted = convertRecord(sitting.record, { ...context, person: context.personOf(subject) })
  const made = {
    record: sitting.record,
    ...(sitting.corrects ? { corrects: true as const } : {}),
    fields: fieldsOf(sitting.origins),
    unfilled: fieldsOf(sitting.unfilled),
  }
  if (converted.ok) {
    const { findings, observations } = converted.value
    return { verdict: 'passes', ...told, ...nothing, ...made, findings, observations: observations.length }
  }
  return {
    verdict: 'refused',
    ...told,
    ...nothing,
    ...made,
    issues: translateIssues(converted.issues, sitting),
  }
}

function fieldsOf(origins: MappedSitting['origins']): readonly RehearsedField[] {
  return [...origins].map(([place, origin]) => ({ place, ...origin }))
}
