import { plainCreate } from '../../../core/exchange/asked/write-request.ts'
import { writeSingly } from '../writes/write-singly.ts'

/**
 * Looked for by our identifier, then `POST [type]` of what is not there. One writer each keeps it from being made twice.
 */
export const searchFirstCourse = writeSingly({
  request: plainCreate,
  wrote: 'create',
  looksFirst: true,
  inDoubt: 'leave-to-person',
  keepsEachStep: false,
})
