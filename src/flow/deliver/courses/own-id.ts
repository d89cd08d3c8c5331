import { putUnderOwnId } from '../../../core/exchange/asked/write-request.ts'
import type { Course } from '../errand/course.ts'
import { writeSingly } from '../writes/write-singly.ts'

const putEach = writeSingly({
  request: putUnderOwnId,
  wrote: 'put',
  looksFirst: 'where-it-can',
  inDoubt: 'leave-to-person',
  keepsEachStep: false,
})

/**
 * `PUT [type]/[our id]`: putting it again is the same resource, so an outcome that nobody heard is no doubt. What is there
 * already is not put again all the same, where that can be seen: it may have been amended or withdrawn since by what this
 * gateway does not remember, as after a backup was put back.What an entry may have made on another rung without
 * anyone hearing of it stands under an id of the server's, and would be made twice: it is looked for.
 */
export const ownIdCourse: Course = (errand, by) => {
  const elsewhere = errand.route.used.some((rung) => rung !== 'own-id')
  return putEach({ ...errand, uncertain: errand.uncertain && elsewhere }, by)
}
