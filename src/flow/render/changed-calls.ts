import type { Bundle } from 'fhir/r4.js'
import { attentionCodesOf } from '../../core/clinical/attention/attention-finding.ts'
import { historyAttention } from '../../core/clinical/attention/history-attention.ts'
import { historySpanMs } from '../../core/clinical/attention/history-span.ts'
import {
  ATTENTION_CODES,
  type AttentionCode,
  type Finding,
  NO_FINDINGS,
} from '../../core/clinical/finding.ts'
import type { Session } from '../../core/clinical/session.ts'
import { attentionBundle } from '../../core/fhir/attention/attention-bundle.ts'
import type { SubmittedRecord } from '../../core/fhir/submitted-record.ts'
import type { Destination } from '../../core/registry/destination.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import { checkSession } from '../check/check-session.ts'
import type { ReadStored } from '../check/read-stored.ts'
import { submittedRecord } from '../check/submitted-record.ts'
import { nearbySessions } from '../person/nearby-sessions.ts'
import { personOf } from '../person/person.ts'
import type { Ports } from '../ports/ports.ts'
import { deliveredContext } from './delivered-context.ts'

type Read = Pick<ReadStored, 'stored' | 'session' | 'findings'>

/** A session, and what it called for by each version of the one that was changed. */
interface Looked {
  readonly about: Read
  /** What it calls for now. */
  readonly now: readonly Finding[]
  /** What it called for by each earlier version. */
  readonly before: readonly (readonly Finding[])[]
}

/**
 * The calls for attention that a changed session bears on, as they are now: those about it, and those about sessions near
 * it. One that stands, and stood by every version of it, is left as it is. Only what the destination was queued is among
 * them, whatever it wants to hear of by now: it is told what became of each call, and of none that it never heard of.
 *
 * @param record the session with its earlier versions; there are no such calls where it has none.
 * @throws OwnFault when a kept record can no longer be read.
 */
export async function changedCalls(
  changed: Read,
  record: SubmittedRecord,
  enrolment: Enrolment,
  destination: Destination,
  at: Ports,
): Promise<readonly Bundle[]> {
  if (record.earlier.length === 0) return []
  const near = await sessionsNear(changed, record, enrolment, at)
  const looked = [
    lookAt(changed, near, record, enrolment, at),
    ...near.map((one) => lookBeside(one, changed, near, record, at)).filter(bearsOn),
  ]
  const bundles: Bundle[] = []
  for (const { about, now, before } of looked) {
    const { source, uuid } = about.stored
    const queued = await at.store.queuedCalls(destination.name, uuid)
    const codes = ATTENTION_CODES.filter((code) => queued.includes(code) && !isIn(code, [now, ...before]))
    if (codes.length === 0) continue
    const context = {
      ...deliveredContext({ ...enrolment, source }, destination, at.catalogue),
      sessionUuid: uuid,
    }
    const told = about === changed ? record : await submittedRecord(about.stored, at)
    for (const code of codes) {
      bundles.push(attentionBundle(code, about.session, now, context, told, true))
    }
  }
  return bundles
}

/** Those that the session, in any of its versions, may call for something together with, and what bears on these. */
async function sessionsNear(
  { stored, session }: Read,
  { earlier }: SubmittedRecord,
  enrolment: Enrolment,
  at: Ports,
): Promise<readonly ReadStored[]> {
  const spanMs = historySpanMs(at.policy.attention)
  const moments = [session, ...earlier].map(({ takenAt }) => takenAt.epochMs)
  const [fromMs, toMs] = [Math.min(...moments) - spanMs, Math.max(...moments) + spanMs]
  const nearby = await nearbySessions(await personOf(enrolment, at), fromMs, toMs, at, stored.uuid)
  return nearby.filter((one) => one.stored.uuid !== stored.uuid)
}

/** The session itself. What its earlier versions called for is looked at with what is held near it now. */
function lookAt(
  changed: Read,
  near: readonly ReadStored[],
  { earlier }: SubmittedRecord,
  enrolment: Enrolment,
  { policy }: Ports,
): Looked {
  const { stored, session, findings } = changed
  const others = near.map((one) => one.session)
  const together = (version: Session, noticed: readonly Finding[]) => [
    ...noticed,
    ...historyAttention(version, others, policy.attention),
  ]
  const receivedMs = Date.parse(stored.receivedAt)
  return {
    about: changed,
    now: stored.withdrawn ? NO_FINDINGS : together(session, findings),
    before: earlier.map((one) => together(one, checkSession(one, enrolment, receivedMs, policy.attention))),
  }
}

/** One beside it. */
function lookBeside(
  about: ReadStored,
  { stored, session }: Read,
  near: readonly ReadStored[],
  { earlier }: SubmittedRecord,
  { policy }: Ports,
): Looked {
  const others = near.flatMap((one) => (one === about ? [] : [one.session]))
  const together = (version: readonly Session[]) => [
    ...about.findings,
    ...historyAttention(about.session, [...others, ...version], policy.attention),
  ]
  return {
    about,
    now: together(stored.withdrawn ? [] : [session]),
    before: earlier.map((one) => together([one])),
  }
}

/** Whether what a session calls for is not the same by all versions of the one that was changed. */
function bearsOn({ now, before }: Looked): boolean {
  const codes = attentionCodesOf(now).join()
  return before.some((findings) => attentionCodesOf(findings).join() !== codes)
}

/** Whether a code is among the findings of every version. */
function isIn(code: AttentionCode, versions: readonly (readonly Finding[])[]): boolean {
  return versions.every((findings) => attentionCodesOf(findings).includes(code))
}
