import { transactionVerdict } from '../../../core/exchange/answered/transaction-verdict.ts'
import { uuidIn } from '../../../core/exchange/sent-resource.ts'
import type { Course, CourseResult, Errand, Means } from '../errand/course.ts'
import { refersByCondition } from '../looks/refers-by-condition.ts'
import { canCreate } from '../looks/sendable-resources.ts'
import { keepOutcomes } from '../outcomes/keep-outcomes.ts'
import { proveConditions } from '../outcomes/prove-conditions.ts'
import { withProvenReferences } from '../subjects/prove-references.ts'
import { TransactionWrites } from '../writes/write-together.ts'

/**
 * Everything in one transaction. What holds nothing but creates is posted as it was rendered; only where that does not do,
 * because something is to be brought up to date, is uncertain, is left out, or the server takes it in another form, it is
 * taken apart. So it is where the server was seen to fail what its conditions match: what is there is left out.
 */
export const transactionCourse: Course = async (errand, by) => {
  const notTrusted = await proveConditions(errand, by)
  return notTrusted ?? withProvenReferences(errand, by, (proven) => writtenTogether(proven, by))
}

async function writtenTogether(errand: Errand, by: Means): Promise<CourseResult> {
  const failsMatches = by.conditions()?.seen === 'failing'
  if (failsMatches || !goesAsItStands(errand, by)) return new TransactionWrites(errand, by).run()
  const { rendered } = errand
  const answer = await by.write({ method: 'POST', path: '', body: rendered.text, prefer: 'minimal' })
  const verdict = transactionVerdict(
    answer,
    rendered.outline.map(({ intent }) => intent),
  )
  const written = rendered.outline.map(({ fullUrl, type, intent }) => ({
    type,
    intent,
    uuid: uuidIn(fullUrl) ?? fullUrl,
  }))
  if (verdict.kind !== 'done') {
    const posted = written.map(({ uuid }) => uuid)
    return new TransactionWrites(errand, by).afterFailure(verdict, posted)
  }
  const mistaken = await keepOutcomes(written, verdict.outcomes, errand, by, { byReference: true })
  if (mistaken !== undefined) return mistaken
  const count = { created: 0, alreadyThere: 0, updated: 0 }
  for (const { what } of verdict.outcomes) count[what === 'already-there' ? 'alreadyThere' : what] += 1
  return { kind: 'done', ...count }
}

function goesAsItStands(errand: Errand, by: Means): boolean {
  const { uncertain, rendered, route } = errand
  if (uncertain || !refersByCondition(errand, by)) return false
  return rendered.outline.every(
    ({ type, intent }) =>
      intent === 'create' &&
      (type === 'Device' || type === 'Provenance' ? canCreate(route.abilities, type) : true),
  )
}
