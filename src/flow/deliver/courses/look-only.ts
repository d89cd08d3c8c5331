import type { Course } from '../errand/course.ts'
import { keepMatches, lookUpResources } from '../looks/look-up-resources.ts'
import { sendableResources } from '../looks/sendable-resources.ts'

/**
 * Nothing is written: only what the server holds is remembered as held. For what was sent unheard to a destination that
 * wants no more of it by now: where it is there, later changes of it are told.
 */
export const lookOnlyCourse: Course = async (errand, by) => {
  const observations = sendableResources(errand).resources.filter(({ type }) => type === 'Observation')
  const looked = await lookUpResources(observations, errand, by)
  if (looked.kind === 'cannot-look') return { kind: 'park', problem: 'OUTCOME_UNKNOWN' }
  if (looked.kind !== 'found') return looked
  keepMatches(observations, looked.matches, by)
  return { kind: 'done', created: 0, alreadyThere: looked.matches.size, updated: 0 }
}
