import type { NonEmpty } from '../basics/result.ts'
import type { Convert } from './convert-value.ts'
import type { RecordSchema } from './record-schema.ts'
import type { SourcePath } from './source-path.ts'
import type { Target } from './targets.ts'

/** A kind of record, compiled. */
export interface Kind extends PlaceInMapping {
  readonly name: string
  /** What holds of its records, all of it; none for every record. */
  readonly when: readonly Condition[]
  readonly skip: boolean
  readonly recordSchema?: RecordSchema
  readonly refuse: readonly Refusal[]
  /** Any of these makes its sitting a correction of what was sent before. */
  readonly corrects: readonly Condition[]
  /** Any of these takes the reading back. */
  readonly withdraws: readonly Condition[]
  readonly session: readonly Rule[]
  /** Rules for each reading of a record; of a record that is skipped, none. */
  readonly readings: ReadingRules
  readonly completes: boolean
}

/** `each`: the same rules for each item a path finds; `sets`: rules for each reading; a single reading is one set. */
export type ReadingRules =
  | { readonly each: SourcePath; readonly rules: readonly Rule[] }
  | { readonly sets: readonly (readonly Rule[])[]; readonly leavesOutEmpty: boolean }

/** Where something stands in the mapping's file. */
export interface PlaceInMapping {
  /** JSON pointer (RFC 6901). */
  readonly pointer: string
  /** 1-based. */
  readonly line: number
}

export interface Condition extends PlaceInMapping {
  readonly path: SourcePath
  readonly test: 'is' | 'isNot' | 'present' | 'absent'
  readonly values: ReadonlySet<unknown>
}

export interface Refusal {
  readonly condition: Condition
  readonly because: string
}

/** A rule for one place of the native record. */
export type Rule = ConstantRule | SourceRule

export interface ConstantRule extends PlaceInMapping {
  readonly target: Target
  readonly constant: string | number | boolean
}

export interface SourceRule extends PlaceInMapping {
  readonly target: Target
  /** Where to look, in this order; the first whose value is there applies. */
  readonly sources: NonEmpty<RuleSource>
  readonly required: boolean
  /** Of a pressure: nothing there becomes null. */
  readonly nullWhenAbsent: boolean
}

export interface RuleSource {
  /** Several are joined with one blank. */
  readonly paths: NonEmpty<SourcePath>
  /** Texts that stand for nothing. */
  readonly absent: ReadonlySet<string>
  readonly convert: Convert
}

/** Every path by which a kind asks or reads, but for the one that finds the items of `each`. */
export function* pathsOf(kind: Kind): Generator<SourcePath> {
  yield* pathsOfRecord(kind)
  if ('each' in kind.readings) yield* pathsOfRules(kind.readings.rules)
}

/** Those among them that do not depend on an item of `each`. */
export function* pathsOfRecord(kind: Kind): Generator<SourcePath> {
  const { when, refuse, corrects, withdraws, session, readings } = kind
  for (const { path } of [...when, ...corrects, ...withdraws]) yield path
  for (const { condition } of refuse) yield condition.path
  yield* pathsOfRules(session)
  if ('sets' in readings) for (const set of readings.sets) yield* pathsOfRules(set)
}

export function* pathsOfRules(rules: readonly Rule[]): Generator<SourcePath> {
  for (const rule of rules) if ('sources' in rule) for (const { paths } of rule.sources) yield* paths
}
