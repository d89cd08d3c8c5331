import type { Issue } from '../../../core/basics/issue.ts'
import { visibleLines, visibleText } from '../../../core/basics/visible-text.ts'
import { counted } from '../../../core/clinical/report/narrative-words.ts'
import type { SourcePlace } from '../../../core/mapping/apply/mapped-sitting.ts'
import type { Rehearsal, RehearsedField } from '../../../flow/intake/rehearse.ts'
import { bad, columns, good, prose, quiet, strong, warn } from '../terminal.ts'
import { sourceIssueText } from './source-issue-text.ts'

const VERDICTS: Readonly<Record<Rehearsal['verdict'], (text: string) => string>> = {
  passes: good,
  withdraws: warn,
  refused: bad,
  skipped: warn,
}

/** Values of the source that are named; more are counted. */
const MOST_IGNORED = 8

/** One sitting as it would be read: its fields with where each came from, then all that was noticed. */
export function rehearsalLines(file: string, rehearsal: Rehearsal, width: number): readonly string[] {
  const { verdict, sources, record, fields, unfilled, ignored, issues, remarks, findings } = rehearsal
  const lines = [`${VERDICTS[verdict](strong(verdict))}  ${placesText(file, sources)}`]
  if (rehearsal.because !== undefined)
    lines.push(prose(`Left out, as the mapping says: ${rehearsal.because}.`, width))
  if (rehearsal.withdraws !== undefined)
    lines.push(prose(`Takes back the session ${visibleText(rehearsal.withdraws)}, if it is held.`, width))
  if (rehearsal.corrects) lines.push('Corrects what was sent under its id, if anything was.')
  if (record !== undefined) lines.push(fieldTable(record, fields, width))
  if (unfilled.length > 0) {
    lines.push(prose(`Not stated by the source: ${unfilled.map(({ place }) => place).join(', ')}.`, width))
  }
  if (ignored.length > 0) {
    const more = ignored.length > MOST_IGNORED ? ` and ${ignored.length - MOST_IGNORED} more` : ''
    const named = ignored.slice(0, MOST_IGNORED).map(placeText).join(', ')
    lines.push(prose(`Read by no rule: ${named}${more}.`, width))
  }
  const told = (mark: string, all: readonly Issue[]) =>
    all.map((issue) => prose(`${mark}  ${sourceIssueText(issue)}`, width))
  lines.push(...told(warn('remark'), remarks), ...told(bad('refused'), issues))
  for (const { code, text } of findings) lines.push(prose(`${quiet('note')}  ${text} [${code}]`, width))
  if (verdict === 'passes')
    lines.push(quiet(`It would become ${counted(rehearsal.observations, 'Observation')}.`))
  return lines
}

function fieldTable(
  record: Readonly<Record<string, unknown>>,
  fields: readonly RehearsedField[],
  width: number,
): string {
  const rows = fields.map(({ place, how, from, line }) => [
    place,
    shownValue(valueAt(record, place)),
    [`line ${line}`, ...(how === 'as-is' ? [] : [how])].join(', '),
    from.map(placeText).join(', '),
  ])
  return columns(['session record', 'value', 'rule of the mapping', 'from'], rows, width)
}

function shownValue(value: unknown): string {
  return visibleLines(typeof value === 'string' ? value : JSON.stringify(value))
}

/** The value at a place such as `readings[0].monitorSays.bodyMovement`. */
function valueAt(record: unknown, place: string): unknown {
  let value = record
  for (const step of place.split(/[.[\]]+/).filter((part) => part !== '')) {
    if (typeof value !== 'object' || value === null) return undefined
    value = Reflect.get(value, step)
  }
  return value
}

function placesText(file: string, sources: readonly SourcePlace[]): string {
  const name = visibleText(file)
  const lines = sources.flatMap(({ line }) => (line === undefined ? [] : [line]))
  if (lines.length > 0) return `${name}, ${lines.length === 1 ? 'line' : 'lines'} ${lines.join(', ')}`
  return `${name}  ${quiet(visibleText(sources.map(({ path }) => path).join(', ')))}`
}

/** The place without the brackets a path does not need, so that it fits a column. */
function placeText({ line, path }: SourcePlace): string {
  const short = visibleText(path).replaceAll(/\['([A-Za-z_]\w*)'\]/g, '.$1')
  return line === undefined ? short : `${short} (line ${line})`
}
