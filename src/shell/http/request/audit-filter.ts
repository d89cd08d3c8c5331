import type { Request } from 'express'
import { AUDIT_ACTIONS } from '../../../core/audit/audit-entry.ts'
import type { AuditFilter } from '../../../flow/ports/ports.ts'
import { queryText } from './page-query.ts'
import { choiceOf } from './query-words.ts'

/** Reads which audit rows are meant. @throws RequestRefused (400) for an action that is none. */
export function auditFilterOf(request: Request): AuditFilter {
  const action = choiceOf(request, 'action', AUDIT_ACTIONS)
  const about = queryText(request, 'about')
  const actor = queryText(request, 'actor')
  return {
    ...(action === undefined ? {} : { action }),
    ...(about === undefined ? {} : { about }),
    ...(actor === undefined ? {} : { actor }),
  }
}
