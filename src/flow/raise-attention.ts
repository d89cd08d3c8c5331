import { instantOf } from '../core/basics/instant.ts'
import { attentionCodesOf } from '../core/clinical/attention/attention-finding.ts'
import { historyAttention } from '../core/clinical/attention/history-attention.ts'
import type { AttentionCode } from '../core/clinical/finding.ts'
import type { Destination } from '../core/registry/destination.ts'
import { historySpanMs } from './nearby-sessions.ts'
import type { Ports } from './ports.ts'
import type { ReadStored } from './read-stored.ts'

type At = Pick<Ports, 'store' | 'policy' | 'clock'>

/** Raises what a session calls for by itself. Returns how many calls are new; one raised before is not raised again. */
export async function raiseSessionAttention(
  { stored, findings }: ReadStored,
  destination: Destination,
  at: At,
): Promise<number> {
  return raise(stored.uuid, attentionCodesOf(findings), destination, at)
}

/** The same for what a session calls for together with others near it in time. */
export async function raiseHistoryAttention(
  { stored, session }: ReadStored,
  others: readonly ReadStored[],
  destination: Destination,
  at: At,
): Promise<number> {
  const limits = at.policy.attention
  const span = historySpanMs(limits)
  const near = others
    .filter((other) => Math.abs(other.stored.takenMs - stored.takenMs) <= span)
    .map((other) => other.session)
  return raise(stored.uuid, attentionCodesOf(historyAttention(session, near, limits)), destination, at)
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
