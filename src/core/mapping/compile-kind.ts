import { compileRule, pathAt, type RuleScope } from './compile-rule.ts'
import type { CompiledFiles } from './compiled-files.ts'
import type { Condition, Kind, ReadingRules, Rule } from './compiled-kind.ts'
import { type DocumentPath, pointerOf } from './document-lines.ts'
import { kindFaults } from './kind-faults.ts'
import type { KindDocument } from './mapping-document.ts'
import type { ConditionDocument, RuleDocument } from './mapping-parts.ts'
import type { RecordSchema } from './record-schema.ts'
import { columnPath, compileSourcePath } from './source-path.ts'
import { type Target, targets } from './targets.ts'

/** A kind of record compiled; what is wrong with it is noted in the mapping's file. */
export function compileKind(kind: KindDocument, path: DocumentPath, files: CompiledFiles): Kind {
  const { mapping } = files
  for (const fault of kindFaults(kind)) mapping.add([...path, ...fault.path], fault.expected)
  const recordSchema = schemaOf(kind, path, files)
  return {
    name: kind.name,
    pointer: pointerOf(path),
    line: mapping.lines.of(path),
    when: plainConditions('when', kind, path, files),
    skip: kind.skip === true,
    ...(recordSchema === undefined ? {} : { recordSchema }),
    refuse: conditionsOf(kind.refuse, [...path, 'refuse'], files).map(({ condition, document }) => ({
      condition,
      because: document.because,
    })),
    corrects: plainConditions('corrects', kind, path, files),
    withdraws: plainConditions('withdraws', kind, path, files),
    session: rulesOf(kind.session, targets().session, [...path, 'session'], 'record', files),
    readings: readingRulesOf(kind, path, files),
    completes: kind.completes === true,
  }
}

function schemaOf(kind: KindDocument, path: DocumentPath, files: CompiledFiles): RecordSchema | undefined {
  if (kind.recordSchema === undefined) return undefined
  const schema = files.recordSchema(kind.recordSchema)
  if (schema !== 'missing') return schema
  files.mapping.add([...path, 'recordSchema'], 'a file that is in record-schemas/')
  return undefined
}

function plainConditions(
  key: 'when' | 'corrects' | 'withdraws',
  kind: KindDocument,
  path: DocumentPath,
  files: CompiledFiles,
): readonly Condition[] {
  return conditionsOf(kind[key], [...path, key], files).map(({ condition }) => condition)
}

function conditionsOf<T extends ConditionDocument>(
  documents: readonly T[] = [],
  path: DocumentPath,
  files: CompiledFiles,
): readonly { readonly condition: Condition; readonly document: T }[] {
  return documents.flatMap((document, index) => {
    const condition = conditionOf(document, [...path, index], files)
    return condition === undefined ? [] : [{ condition, document }]
  })
}

function conditionOf(
  document: ConditionDocument,
  path: DocumentPath,
  files: CompiledFiles,
): Condition | undefined {
  const { from, column, is, isNot, present } = document
  if ((from === undefined) === (column === undefined)) {
    files.mapping.add(path, 'exactly one of from, column')
    return undefined
  }
  if ([is, isNot, present].filter((test) => test !== undefined).length !== 1) {
    files.mapping.add(path, 'exactly one of is, isNot, present')
    return undefined
  }
  if (column !== undefined && !files.readsColumns) {
    files.mapping.add([...path, 'column'], 'from with a JSONPath: only CSV has columns')
  }
  const compiled =
    from === undefined ? columnPath(column ?? '') : pathAt(from, [...path, 'from'], 'record', files)
  if (compiled === undefined) return undefined
  const test =
    is !== undefined ? 'is' : isNot !== undefined ? 'isNot' : present === true ? 'present' : 'absent'
  const line = files.mapping.lines.of(path)
  return { path: compiled, test, values: new Set(is ?? isNot), pointer: pointerOf(path), line }
}

type RuleDocuments = Readonly<Record<string, RuleDocument>>

function rulesOf(
  documents: RuleDocuments = {},
  places: ReadonlyMap<string, Target>,
  path: DocumentPath,
  scope: RuleScope,
  files: CompiledFiles,
): readonly Rule[] {
  return [...places].flatMap(([place, target]) => {
    const document = Object.hasOwn(documents, place) ? documents[place] : undefined
    const rule =
      document === undefined ? undefined : compileRule(document, target, [...path, place], scope, files)
    return rule === undefined ? [] : [rule]
  })
}

function readingRulesOf(kind: KindDocument, path: DocumentPath, files: CompiledFiles): ReadingRules {
  const { reading, readings } = kind
  const places = targets().reading
  if (readings?.each !== undefined) {
    const each = compileSourcePath(readings.each, 'list')
    const at = [...path, 'readings', 'each']
    if (files.readsColumns) files.mapping.add(at, 'sets of columns: a CSV row has no paths')
    else if (typeof each === 'string') files.mapping.add(at, each)
    else if (each.from === '@') files.mapping.add(at, 'a path from $')
    const rules = rulesOf(readings.reading, places, [...path, 'readings', 'reading'], 'item', files)
    return typeof each === 'string' ? { sets: [], leavesOutEmpty: false } : { each, rules }
  }
  if (readings?.sets !== undefined) {
    const sets = readings.sets.map((set, index) =>
      rulesOf(set, places, [...path, 'readings', 'sets', index], 'record', files),
    )
    return { sets, leavesOutEmpty: true }
  }
  const rules = rulesOf(reading, places, [...path, 'reading'], 'record', files)
  return { sets: kind.skip === true ? [] : [rules], leavesOutEmpty: false }
}
