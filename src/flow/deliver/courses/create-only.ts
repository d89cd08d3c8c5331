import { plainCreate } from '../../../core/exchange/asked/write-request.ts'
import type { Course } from '../errand/course.ts'
import { writeSingly } from '../writes/write-singly.ts'

const postEach = writeSingly({
  request: plainCreate,
  wrote: 'create',
  looksFirst: false,
  inDoubt: 'leave-to-person',
  keepsEachStep: true,
})

/**
 * `POST [type]`, once each. Nobody can be asked whether an outcome that nobody heard was one, so the entry is left to a
 * person, at once and each time. What was made before is kept step by step, and is not posted again when they retry. Of
 * what a process held that died, only an entry that was marked as begun is uncertain.
 */
export const createOnlyCourse: Course = async (errand, by) => {
  if (errand.uncertain) return { kind: 'park', problem: 'OUTCOME_UNKNOWN' }
  const result = await postEach(errand, by)
  if (result.kind !== 'unknown') return result
  return {
    kind: 'park',
    problem: 'OUTCOME_UNKNOWN',
    ...(result.said === undefined ? {} : { said: result.said }),
  }
}
