import { blocks, type Issue, issueText } from '../../../core/basics/issue.ts'
import { counted } from '../../../core/clinical/report/narrative-words.ts'
import type { IssueLine } from '../files/issue-places.ts'
import { type RecordPlace, shownPlace } from '../files/read-records.ts'
import { bad, good, quiet, warn } from '../terminal.ts'

/**
 * The verdict on one resource as lines for a terminal: what blocks in full, each with its line where it is known, then
 * remarks. Remarks that say the same of many places are told once, with the first place and how many more there are.
 */
export function verdictLines(
  place: RecordPlace,
  issues: readonly Issue[],
  lineOf: (issue: Issue) => IssueLine | undefined,
): readonly string[] {
  const blocking = issues.filter(blocks)
  const remarks = issues.filter((one) => !blocks(one))
  const shown = (issue: Issue) => issueLine(issue, place.line === undefined ? lineOf(issue) : undefined)
  return [
    `${verdict(blocking, remarks)}  ${shownPlace(place)}`,
    ...blocking.map(shown),
    ...alike(remarks).map(([first, more]) =>
      more === 0 ? shown(first) : `${shown(first)} ${quiet(`and in ${counted(more, 'more place')}`)}`,
    ),
  ]
}

function verdict(blocking: readonly Issue[], remarks: readonly Issue[]): string {
  if (blocking.length > 0) return bad('not valid')
  return remarks.length > 0 ? `${good('valid')} with remarks` : good('valid')
}

function issueLine(issue: Issue, line: IssueLine | undefined): string {
  const mark = blocks(issue) ? bad(issue.severity) : warn(issue.severity)
  // Of text that is no JSON the line is the place itself.
  const at = line === undefined || issue.at.startsWith('line ') ? '' : `line ${line.line}: `
  const key = issue.rule === undefined ? issue.code : `${issue.code} ${issue.rule}`
  return `  ${mark}  ${at}${issueText(issue)} ${quiet(`[${key}]`)}`
}

/** The first of each kind of remark, and how many more there are of it. */
function alike(remarks: readonly Issue[]): readonly (readonly [first: Issue, more: number])[] {
  const kinds = new Map<string, { readonly first: Issue; more: number }>()
  for (const issue of remarks) {
    const key = [issue.severity, issue.code, issue.rule, issue.expected].join('|')
    const kind = kinds.get(key)
    if (kind === undefined) kinds.set(key, { first: issue, more: 0 })
    else kind.more += 1
  }
  return [...kinds.values()].map(({ first, more }) => [first, more])
}
