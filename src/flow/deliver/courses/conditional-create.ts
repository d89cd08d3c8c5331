import { conditionalCreate } from '../../../core/exchange/asked/write-request.ts'
import { writeSingly } from '../writes/write-singly.ts'

/** `POST [type]` with `If-None-Exist`: the server notices by itself what it holds, so nothing is lost by writing again. */
export const conditionalCreateCourse = writeSingly({
  request: conditionalCreate,
  wrote: 'conditional-create',
  looksFirst: false,
  inDoubt: 'write-again',
  keepsEachStep: false,
})
