import type { Request } from 'express'
import type { Mapping } from '../../../core/mapping/mapping.ts'
import type { MappedIntakeOptions } from '../../../flow/intake/mapped-intake.ts'
import { subjectBySenderFault } from '../../../flow/intake/subject-by-sender.ts'
import { RequestRefused } from '../request-refused.ts'
import { queryText } from './page-query.ts'

/**
 * The subject a request names with `?subject=`, where the mapping leaves it to the sender.
 *
 * @throws RequestRefused (400) when it is needed and not there, or there and not needed.
 */
export function subjectOfRequest(request: Request, mapping: Mapping): Pick<MappedIntakeOptions, 'subject'> {
  const subject = queryText(request, 'subject')
  const fault = subjectBySenderFault(mapping, subject, 'query.subject')
  if (fault !== undefined) throw new RequestRefused(400, [fault])
  return subject === undefined ? {} : { subject }
}
