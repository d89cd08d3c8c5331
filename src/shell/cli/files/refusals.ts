import { type Issue, issueText } from '../../../core/basics/issue.ts'
import { bad } from '../terminal.ts'
import { type RecordPlace, shownPlace } from './read-records.ts'

/** A record or resource that did not pass, and every reason. */
export interface Refusal extends RecordPlace {
  readonly issues: readonly Issue[]
}

/** One line a reason: where, what was expected, what to do, and the code. */
export function refusalLines(refusals: readonly Refusal[]): readonly string[] {
  return refusals.flatMap((refusal) => {
    const place = shownPlace(refusal)
    return refusal.issues.map((issue) => `${bad('refused')}  ${place}  ${issueText(issue)} [${issue.code}]`)
  })
}
