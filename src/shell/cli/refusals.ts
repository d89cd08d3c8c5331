import { type Issue, issueText } from '../../core/basics/issue.ts'
import { bad } from './terminal.ts'

/** A record or resource that did not pass, and every reason. */
export interface Refusal {
  readonly file: string
  /** 1-based line of an NDJSON file. */
  readonly line?: number
  readonly issues: readonly Issue[]
}

/** One line a reason: where, what was expected, what to do, and the code. */
export function refusalLines(refusals: readonly Refusal[]): readonly string[] {
  return refusals.flatMap(({ file, line, issues }) => {
    const place = line === undefined ? file : `${file}:${line}`
    return issues.map((issue) => `${bad('refused')}  ${place}  ${issueText(issue)} [${issue.code}]`)
  })
}
