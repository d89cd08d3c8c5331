import { type Issue, issueText } from '../../../core/basics/issue.ts'
import { visibleText } from '../../../core/basics/visible-text.ts'

/** An issue with where in the source it came from and by which rule: for whoever looks after the source or the mapping. */
export function sourceIssueText(issue: Issue): string {
  const { line, from, mapping, code } = issue
  const places = [
    ...(line === undefined ? [] : [`line ${line}`]),
    ...(from === undefined ? [] : [from]),
    ...(mapping === undefined ? [] : [`by ${mapping}`]),
  ]
  const place = places.length === 0 ? '' : `${places.join(', ')}: `
  return visibleText(`${place}${issueText(issue)} [${code}]`)
}
