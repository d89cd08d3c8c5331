import { isTimeZone } from '../basics/local-day.ts'
import type { CompiledFiles } from './compiled-files.ts'
import {
  type Convert,
  codeTable,
  FLAG,
  formedTime,
  NUMBER,
  numberText,
  RFC_3339,
  TEXT,
} from './convert-value.ts'
import type { DocumentPath } from './document-lines.ts'
import { compileTimeForm } from './forms/time-form.ts'
import { TIME_FORM_EXPECTED } from './forms/time-form-fault.ts'
import type { SourceRuleDocument } from './mapping-parts.ts'
import type { Target } from './targets.ts'
import { unixTime } from './unix-time.ts'

/** How a rule turns what it reads into what its place takes; undefined when it cannot, which is noted. */
export function compileConvert(
  rule: SourceRuleDocument,
  target: Target,
  path: DocumentPath,
  files: CompiledFiles,
): Convert | undefined {
  const { number, time, codes } = rule
  if (number !== undefined && target.kind !== 'number') {
    return fault(files, [...path, 'number'], 'number at a place that takes a number only')
  }
  if (time !== undefined && target.kind !== 'time') {
    return fault(files, [...path, 'time'], 'time at a place that takes a time only')
  }
  if (codes !== undefined) return compileCodes(codes, target, [...path, 'codes'], files)
  switch (target.kind) {
    case 'time':
      if (time === undefined) return fault(files, path, 'time: how the source writes the time')
      if (time === 'RFC 3339') return RFC_3339
      return typeof time === 'string' ? unixTime(time) : compileForm(time, [...path, 'time'], files)
    case 'number':
      return number === undefined ? NUMBER : numberText(number.decimalMark)
    case 'flag':
      return FLAG
    default:
      return TEXT
  }
}

/** Places whose texts are the source's own, which no table can know. */
const OF_THE_SOURCE: ReadonlySet<string> = new Set(['id', 'subject', 'note'])

function compileCodes(
  id: string,
  target: Target,
  path: DocumentPath,
  files: CompiledFiles,
): Convert | undefined {
  if (target.kind === 'number' || target.kind === 'time' || OF_THE_SOURCE.has(target.place)) {
    return fault(files, path, 'codes at a place that takes a word, or true or false')
  }
  const table = files.codeTable(id)
  if (table === undefined) return fault(files, path, 'a code table that is in concept-maps/')
  const words = target.kind === 'flag' ? ['true', 'false'] : target.words
  const foreign = [...table.values()].some((word) => words.length > 0 && !words.includes(word))
  if (foreign) return fault(files, path, `a code table whose targets are ${words.join(', ')}`)
  return codeTable(table, target.kind === 'flag')
}

function compileForm(
  { form, zone }: { readonly form: string; readonly zone: string },
  path: DocumentPath,
  files: CompiledFiles,
): Convert | undefined {
  const compiled = compileTimeForm(form)
  if (typeof compiled === 'string') return fault(files, [...path, 'form'], TIME_FORM_EXPECTED[compiled])
  if (compiled.hasOffset !== (zone === 'in-the-text')) {
    return fault(files, [...path, 'zone'], 'in-the-text where the form has an offset (Z), and only there')
  }
  if (zone === 'in-the-text' || zone === 'of-the-person') return formedTime(compiled, undefined)
  if (!isTimeZone(zone))
    return fault(files, [...path, 'zone'], 'of-the-person, in-the-text or an IANA time zone')
  return formedTime(compiled, zone)
}

function fault(files: CompiledFiles, path: DocumentPath, expected: string): undefined {
  files.mapping.add(path, expected)
}
