import { instantOf } from '../../core/basics/instant.ts'
import { attentionCodesOf } from '../../core/clinical/attention/attention-finding.ts'
import { firstCalls } from '../../core/clinical/attention/first-calls.ts'
import type { AttentionCode } from '../../core/clinical/finding.ts'
import type { Destination } from '../../core/registry/destination.ts'
import type { ReadStored } from '../check/read-stored.ts'
import type { Ports } from '../ports/ports.ts'

type At = Pick<Ports, 'store' | 'policy' | 'clock'>

/** Raises what a session calls for by itself. Returns how many calls are new; one raised before is not raised again. */
export async function raiseSessionAttention(
  { stored, findings }: ReadStored,
  destination: Destination,
  at: At,
): Promise<number> {
  return raise(stored.uuid, attentionCodesOf(findings), destination, at)
}

/**
 * The same for what sessions call for together, each once in a run of sittings.
 *
 * @param sessions of one person, in time order, with those before `fromMs` that bear on the others.
 * @param fromMs sessions from this moment on are called for, epoch ms.
 */
export async function raiseHistoryAttention(
  sessions: readonly ReadStored[],
  fromMs: number,
  destination: Destination,
  at: At,
): Promise<number> {
  const uuids = new Map(sessions.map(({ session, stored }) => [session, stored.uuid]))
  const calls = firstCalls([...uuids.keys()], at.policy.attention)
  let raised = 0
  for (const { session, code } of calls) {
    const uuid = uuids.get(session)
    if (uuid === undefined || session.takenAt.epochMs < fromMs) continue
    raised += await raise(uuid, [code], destination, at)
  }
  return raised
}

async function raise(
  session: string,
  codes: readonly AttentionCode[],
  { name, attention }: Destination,
  { store, clock }: At,
): Promise<number> {
  if (attention !== 'at-once') return 0
  let raised = 0
  for (const code of codes) {
    const nowMs = clock.now()
    const isNew = await store.raiseAttention(session, code, name, nowMs, {
      at: instantOf(nowMs).text,
      actor: 'gateway',
      action: 'attention-raised',
      about: session,
      outcome: 'done',
      detail: { code, destination: name },
    })
    if (isNew) raised += 1
  }
  return raised
}
