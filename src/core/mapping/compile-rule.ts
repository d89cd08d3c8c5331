import { isNonEmpty } from '../basics/result.ts'
import { compileConvert } from './compile-convert.ts'
import type { CompiledFiles } from './compiled-files.ts'
import type { Rule, RuleSource } from './compiled-kind.ts'
import { type DocumentPath, pointerOf } from './document-lines.ts'
import type { RuleDocument, SourceRuleDocument } from './mapping-parts.ts'
import { columnPath, compileSourcePath, type SourcePath } from './source-path.ts'
import type { Target } from './targets.ts'

/** Where a rule stands: of the record, or of the items a path of `each` finds. */
export type RuleScope = 'record' | 'item'

const WAYS = ['constant', 'from', 'column', 'columns', 'firstOf'] as const

/** A rule compiled; undefined when it cannot be used, which is noted in the mapping's file. */
export function compileRule(
  rule: RuleDocument,
  target: Target,
  path: DocumentPath,
  scope: RuleScope,
  files: CompiledFiles,
): Rule | undefined {
  const { mapping } = files
  const ways = WAYS.filter((way) => rule[way] !== undefined)
  if (ways.length !== 1) {
    mapping.add(path, `exactly one of ${WAYS.join(', ')}`)
    return undefined
  }
  const at = { pointer: pointerOf(path), line: mapping.lines.of(path) }
  if (rule.constant !== undefined) {
    const expected = constantFault(rule.constant, target)
    const idle = IDLE_BESIDE_CONSTANT.filter((key) => rule[key] !== undefined)
    for (const key of idle) mapping.add([...path, key], 'nothing beside a constant')
    if (expected !== undefined) mapping.add([...path, 'constant'], expected)
    return expected === undefined ? { target, ...at, constant: rule.constant } : undefined
  }
  if (rule.mayBeAbsent === true && !PRESSURES.has(target.place)) {
    mapping.add(
      [...path, 'mayBeAbsent'],
      'mayBeAbsent at a pressure only; elsewhere what is not there is left out',
    )
  }
  if (rule.mayBeAbsent === true && rule.required === true) {
    mapping.add([...path, 'mayBeAbsent'], 'either required or mayBeAbsent')
  }
  const sources = sourcesOf(rule, target, path, scope, files)
  if (!isNonEmpty(sources)) return undefined
  const required = rule.required === true
  return { target, ...at, sources, required, nullWhenAbsent: rule.mayBeAbsent === true }
}

const IDLE_BESIDE_CONSTANT = ['absent', 'number', 'time', 'codes', 'required', 'mayBeAbsent'] as const
const IDLE_BESIDE_FIRST_OF = ['absent', 'number', 'time', 'codes'] as const

const PRESSURES: ReadonlySet<string> = new Set(['systolic', 'diastolic'])

/** What no integrator can know for every record. */
const NEVER_CONSTANT: ReadonlySet<string> = new Set(['id', 'subject', 'pulse', ...PRESSURES])

function constantFault(constant: string | number | boolean, target: Target): string | undefined {
  if (NEVER_CONSTANT.has(target.place) || target.kind === 'time') {
    return 'a value of the source: no measurement, time or id is the same for every record'
  }
  switch (target.kind) {
    case 'word':
      return target.words.includes(String(constant)) ? undefined : `one of ${target.words.join(', ')}`
    case 'text':
      return typeof constant === 'string' ? undefined : 'a text'
    case 'number':
      return typeof constant === 'number' ? undefined : 'a number'
    case 'flag':
      return typeof constant === 'boolean' ? undefined : 'true or false'
  }
}

function sourcesOf(
  rule: RuleDocument,
  target: Target,
  path: DocumentPath,
  scope: RuleScope,
  files: CompiledFiles,
): readonly RuleSource[] {
  if (rule.firstOf === undefined) return present([compileSource(rule, target, path, scope, files)])
  for (const key of IDLE_BESIDE_FIRST_OF) {
    if (rule[key] !== undefined)
      files.mapping.add([...path, key], `${key} inside firstOf, at the rule it is meant for`)
  }
  return present(
    rule.firstOf.map((one, index) => {
      const inner = [...path, 'firstOf', index]
      const ways = WAYS.filter((way) => way in one)
      if (ways.length === 1) return compileSource(one, target, inner, scope, files)
      files.mapping.add(inner, 'exactly one of from, column, columns')
      return undefined
    }),
  )
}

function compileSource(
  rule: SourceRuleDocument,
  target: Target,
  path: DocumentPath,
  scope: RuleScope,
  files: CompiledFiles,
): RuleSource | undefined {
  const paths = compilePaths(rule, path, scope, files)
  const convert = compileConvert(rule, target, path, files)
  if (!isNonEmpty(paths) || convert === undefined) return undefined
  return { paths, absent: new Set(rule.absent), convert }
}

function compilePaths(
  rule: SourceRuleDocument,
  path: DocumentPath,
  scope: RuleScope,
  files: CompiledFiles,
): readonly SourcePath[] {
  const { from, column, columns } = rule
  if (from === undefined) {
    const key = column === undefined ? 'columns' : 'column'
    if (!files.readsColumns) files.mapping.add([...path, key], 'from with a JSONPath: only CSV has columns')
    return (columns ?? [column ?? '']).map(columnPath)
  }
  const listed = typeof from === 'string' ? [from] : from
  return present(
    listed.map((text, index) =>
      pathAt(text, typeof from === 'string' ? [...path, 'from'] : [...path, 'from', index], scope, files),
    ),
  )
}

/** One path of a rule or condition. */
export function pathAt(
  text: string,
  path: DocumentPath,
  scope: RuleScope,
  files: CompiledFiles,
): SourcePath | undefined {
  if (files.readsColumns) {
    files.mapping.add(path, 'column with a name: a CSV row has no paths')
    return undefined
  }
  const compiled = compileSourcePath(text, 'one')
  if (typeof compiled === 'string') {
    files.mapping.add(path, compiled)
    return undefined
  }
  if (compiled.from === '@' && scope === 'record')
    files.mapping.add(path, 'a path from $: @ is for the items of each')
  return compiled
}

function present<T>(items: readonly (T | undefined)[]): readonly T[] {
  return items.filter((item) => item !== undefined)
}
