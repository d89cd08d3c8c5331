import type { Rule, RuleSource, SourceRule } from '../compiled-kind.ts'
import type { SourcePath } from '../source-path.ts'
import type { Origin, SourcePlace } from './mapped-sitting.ts'
import type { RecordView } from './record-view.ts'

/** What a rule made of a record: a value, or nothing because the source has nothing there. */
export interface Filled {
  /** Absent when the source has nothing there; null for a pressure that may be absent. */
  readonly value?: string | number | boolean | null
  readonly origin: Origin
}

/**
 * What a rule makes of a record; undefined when it cannot be applied, which is told.
 *
 * @param at the native place it fills: `readings[0].systolic`.
 */
export function applyRule(rule: Rule, view: RecordView, at: string): Filled | undefined {
  if ('constant' in rule) {
    const origin: Origin = { rule: rule.pointer, line: rule.line, how: 'constant', from: [] }
    return { value: rule.constant, origin }
  }
  for (const source of rule.sources) {
    const read = readSource(source, rule, view, at)
    if (read === 'refused') return undefined
    if (read === 'nothing') continue
    const converted = source.convert.convert(read.value)
    if ('value' in converted) {
      const origin: Origin = { rule: rule.pointer, line: rule.line, how: source.convert.how, from: read.from }
      return { value: converted.value, origin }
    }
    view.tell(converted, at, rule, together(read.from))
    return undefined
  }
  return nothing(rule, view, at)
}

/** Whether the source has anything where the rule looks. */
export function hasSource(rule: Rule, view: RecordView): boolean {
  if ('constant' in rule) return true
  return rule.sources.some(({ paths, absent }) =>
    paths.some((path) => view.find(path).some(({ value }) => !isNothing(value, absent))),
  )
}

function isNothing(value: unknown, absent: ReadonlySet<string>): boolean {
  return typeof value === 'string' && absent.has(value)
}

function nothing(rule: SourceRule, view: RecordView, at: string): Filled | undefined {
  const [{ paths }] = rule.sources
  if (rule.required) {
    const expected = 'a value, which the mapping requires'
    const told = { code: 'MISSING_KEY', expected, remedy: 'Fill it in at the source.' } as const
    view.tell(told, at, rule, together(paths.map((path) => view.placeOfNothing(path))))
    return undefined
  }
  const from = rule.sources.map((source) => view.placeOfNothing(source.paths[0]))
  const origin: Origin = { rule: rule.pointer, line: rule.line, how: 'as-is', from }
  return rule.nullWhenAbsent ? { value: null, origin } : { origin }
}

/** Places that are read as one are told as one: date and time. */
function together(places: readonly SourcePlace[]): SourcePlace | undefined {
  const [first] = places
  return first === undefined ? undefined : { ...first, path: places.map(({ path }) => path).join(', ') }
}

interface Read {
  readonly value: unknown
  readonly from: readonly SourcePlace[]
}

/** What stands at the paths of a source: one value as it is, several as texts joined with one blank. */
function readSource(
  { paths, absent }: RuleSource,
  rule: SourceRule,
  view: RecordView,
  at: string,
): Read | 'nothing' | 'refused' {
  if (rule.sources.length === 1 && lacksColumn(paths, rule, view, at)) return 'refused'
  const values: unknown[] = []
  const from: SourcePlace[] = []
  let isMissing = false
  for (const path of paths) {
    const found = view.find(path)
    const [first] = found
    if (found.length > 1 && first !== undefined) {
      const expected = `one value at ${path.text}`
      const remedy = 'Narrow the path in the mapping with a filter, or mend the record.'
      view.tell({ code: 'MANY_VALUES', expected, remedy }, at, rule, view.placeOf(path, first))
      return 'refused'
    }
    if (first === undefined || isNothing(first.value, absent)) {
      isMissing = true
      from.push(view.placeOfNothing(path))
      continue
    }
    values.push(first.value)
    from.push(view.placeOf(path, first))
  }
  if (values.length === 0) return 'nothing'
  if (isMissing) {
    const expected = 'a value in each of the places that are joined'
    const told = { code: 'MISSING_KEY', expected, remedy: 'Fill it in at the source.' } as const
    view.tell(told, at, rule, together(from))
    return 'refused'
  }
  if (paths.length === 1) return { value: values[0], from }
  if (values.every((value) => typeof value === 'string')) return { value: values.join(' '), from }
  const expected = 'texts, where several places are joined'
  view.tell({ code: 'WRONG_TYPE', expected, remedy: 'Correct it at the source.' }, at, rule, together(from))
  return 'refused'
}

/** A column the file does not have is another file than the mapping is for; where it may be another, `firstOf` says so. */
function lacksColumn(paths: readonly SourcePath[], rule: SourceRule, view: RecordView, at: string): boolean {
  const { value: row } = view.record
  for (const path of paths) {
    if (path.from !== 'column' || (typeof row === 'object' && row !== null && Object.hasOwn(row, path.text)))
      continue
    const expected = 'a column of that name in the header'
    const remedy = 'Use the mapping that was made for this file, or correct the column in the mapping.'
    view.tell({ code: 'MISSING_KEY', expected, remedy }, at, rule, view.placeOfNothing(path))
    return true
  }
  return false
}
