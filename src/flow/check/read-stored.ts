import type { Finding } from '../../core/clinical/finding.ts'
import type { Session } from '../../core/clinical/session.ts'
import { readSession } from '../../core/record/read-session.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import { OwnFault } from '../ports/own-fault.ts'
import type { Ports, StoredSession } from '../ports/ports.ts'
import { checkSession } from './check-session.ts'

/** A kept session, read and checked again from the record as it was received. */
export interface ReadStored {
  readonly stored: StoredSession
  readonly session: Session
  readonly findings: readonly Finding[]
  readonly withdrawn: boolean
  /** When this version was received, epoch ms. */
  readonly receivedMs: number
  /** Only among sessions of several sources. */
  readonly source?: string
}

/**
 * Reads a kept record again, and checks it as it was checked when it came.
 *
 * @throws OwnFault when the record can no longer be read.
 */
export function readStored(
  stored: StoredSession,
  enrolment: Enrolment | undefined,
  at: Pick<Ports, 'policy'>,
): ReadStored {
  const session = keptSession(stored)
  const receivedMs = Date.parse(stored.receivedAt)
  const findings = checkSession(session, enrolment, receivedMs, at.policy.attention)
  return { stored, session, findings, withdrawn: stored.withdrawn, receivedMs }
}

/**
 * The session in a kept record. It passed once, so it passes again; where a later release reads more strictly than the
 * one that kept it, this fails rather than leave a reading out without a word.
 *
 * @throws OwnFault when the record can no longer be read.
 */
export function keptSession(stored: StoredSession): Session {
  const read = readSession(jsonOf(stored), stored.zone === undefined ? {} : { zone: stored.zone })
  if (read.ok) return read.value.session
  throw new OwnFault(`kept session ${stored.uuid} can no longer be read: ${read.issues[0].code}`)
}

/** The parser's own complaint quotes the text, so it is not passed on. */
function jsonOf({ uuid, raw }: StoredSession): unknown {
  try {
    return JSON.parse(raw)
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error
    throw new OwnFault(`kept session ${uuid} can no longer be read: NOT_JSON`)
  }
}
