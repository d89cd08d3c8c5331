import type { Request } from 'express'
import { type ChainPlace, readPlace } from '../../../core/audit/chain.ts'
import { refusedRequest } from '../request-refused.ts'
import { queryText } from './page-query.ts'

/** Reads `?kept=`, a place of the audit trail that was kept. @throws RequestRefused (400) for what is no place. */
export function keptPlaceOf(request: Request): ChainPlace | undefined {
  const text = queryText(request, 'kept')
  const place = text === undefined ? undefined : readPlace(text)
  if (text === undefined || place !== undefined) return place
  throw refusedRequest(
    400,
    'OUT_OF_RANGE',
    'query.kept',
    'the number of a row, a colon and its hash of 64 hex digits',
    'Send rows and hash of an earlier answer, as in 1203:28408f….',
  )
}
