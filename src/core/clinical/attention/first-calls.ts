import type { AttentionCode } from '../finding.ts'
import type { Session } from '../session.ts'
import { attentionCodesOf } from './attention-finding.ts'
import type { AttentionLimits } from './attention-limits.ts'
import { historyAttention } from './history-attention.ts'
import { historySpanMs } from './history-span.ts'

/** A sitting, and what it is the first of a run to call for together with those before it. */
export interface FirstCall {
  readonly session: Session
  readonly code: AttentionCode
}

/**
 * What a person’s sittings call for together, once in a run: another irregular sitting, or the next pair on two arms,
 * says nothing new while the last that would call for the same is no longer ago than `historySpanMs`. Common practice:
 * a clinic that is told of every further sitting stops reading. The period’s average tells of all of them.
 *
 * @param sessions of one person, in time order. Each looks back only, so that what comes later makes no older call.
 */
export function firstCalls(sessions: readonly Session[], limits: AttentionLimits): readonly FirstCall[] {
  const spanMs = historySpanMs(limits)
  const lastMs = new Map<AttentionCode, number>()
  const calls: FirstCall[] = []
  let from = 0
  for (const [place, session] of sessions.entries()) {
    const { epochMs } = session.takenAt
    while (epochMs - (sessions[from]?.takenAt.epochMs ?? epochMs) > spanMs) from += 1
    const before = sessions.slice(from, place)
    for (const code of attentionCodesOf(historyAttention(session, before, limits))) {
      const last = lastMs.get(code)
      lastMs.set(code, epochMs)
      if (last === undefined || epochMs - last > spanMs) calls.push({ session, code })
    }
  }
  return calls
}
