import { putUnderOwnId } from '../../../core/exchange/write-request.ts'
import type { Course } from '../course.ts'
import { writeSingly } from '../write-singly.ts'

const putEach = writeSingly({
  request: putUnderOwnId,
  wrote: 'put',
  looksFirst: false,
  inDoubt: 'leave-to-person',
  keepsEachStep: false,
})

/**
 * `PUT [type]/[our id]`: putting it again is the same resource, so an outcome that nobody heard is no doubt. What was made
 * on another rung stands under an id of the server's, and would be made twice: only that is looked for.
 */
export const ownIdCourse: Course = (errand, by) => {
  const elsewhere = errand.route.used.some((rung) => rung !== 'own-id')
  return putEach({ ...errand, uncertain: elsewhere }, by)
}
