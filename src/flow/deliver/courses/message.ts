import { ownUuid } from '../../../core/hl7v2/observation-segments.ts'
import { type OruContext, oruMessage, reportedIn } from '../../../core/hl7v2/oru-message.ts'
import { withControlId } from '../../../core/hl7v2/with-control-id.ts'
import type { ClinicSaid, OutboxEntry } from '../../../core/outbox/entry.ts'
import type { MessageDestination } from '../../../core/registry/destination.ts'
import type { Ports } from '../../ports/ports.ts'
import { observationsIn } from '../../render/is-held.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'
import type { CourseResult } from '../errand/course.ts'
import type { HeldLedger } from '../errand/held-ledger.ts'
import type { ClaimInTime } from '../turns/claims-in-time.ts'
import { controlIds } from './control-ids.ts'

/**
 * One message to a clinic's HL7 v2 receiver. What nobody acknowledged is sent again under the same control id, by which
 * receivers tell repetitions; so no outcome is left to a person for being unknown. What was acknowledged is remembered as
 * held: a receiver that wants no readings any more is told of changes to those it was sent. What it may hold of them cannot
 * be looked for, and counts as held.
 *
 * @throws ClaimLost when another process has the entry.
 */
export async function messageCourse(
  claim: ClaimInTime,
  destination: MessageDestination,
  rendered: RenderedDelivery,
  ledger: HeldLedger,
  at: Ports,
): Promise<CourseResult> {
  if (rendered.lookedFor === true) {
    const readings = observationsIn(rendered.bundle)
    for (const uuid of readings) ledger.add({ uuid, type: 'Observation' })
    return { kind: 'done', created: 0, alreadyThere: readings.length, updated: 0 }
  }
  const { id, claims } = claim.entry
  const said = claims > 1 ? (await at.store.delivery(id))?.said : undefined
  for (const message of messagesOf(claim.entry, destination, rendered, said)) {
    const sent = await sendOne(claim, destination, message, at)
    if (sent !== 'accepted') return sent
  }
  const told = reportedIn(rendered.bundle, destination)
  for (const observation of told) ledger.add({ uuid: ownUuid(observation), type: 'Observation' })
  return { kind: 'done', created: told.length, alreadyThere: 0, updated: 0 }
}

/** Whether the receiver took it, or what came of it else. */
async function sendOne(
  claim: ClaimInTime,
  destination: MessageDestination,
  message: string,
  at: Ports,
): Promise<CourseResult | 'accepted'> {
  await claim.renew()
  const answer = await at.receivers.send(destination, message)
  switch (answer.kind) {
    case 'accepted':
      return 'accepted'
    case 'refused':
      return answer.problem === 'PATIENT_UNKNOWN' ? { ...answer, kind: 'park' } : answer
    case 'stop':
      return answer
    case 'unsent': {
      const { problem, untried, retryAfterMs } = answer
      return {
        kind: 'not-now',
        problem,
        ...(untried === undefined ? {} : { untried }),
        ...(retryAfterMs === undefined ? {} : { retryAfterMs }),
      }
    }
    case 'unheard':
      return { kind: 'unknown', problem: answer.problem }
  }
}

/**
 * The message of an entry: the same text, under the same control id, whenever the same thing is sent, until it is refused.
 * What is brought over from another patient is taken back from that one first, by a message of its own.
 *
 * @param said what the receiver said last about the entry.
 */
export function messagesOf(
  entry: Pick<OutboxEntry, 'id' | 'destination' | 'movedFrom'>,
  destination: MessageDestination,
  { bundle, patient, issued }: RenderedDelivery,
  said: ClinicSaid | undefined,
): readonly string[] {
  const unnamed = (about: Pick<OruContext, 'patient' | 'isOfOther'>) =>
    oruMessage(bundle, { destination, ...about, controlId: '', messageTime: issued })
  const brings = unnamed({ patient })
  const { movedFrom } = entry
  const all = movedFrom === undefined ? [brings] : [unnamed({ patient: movedFrom, isOfOther: true }), brings]
  const ids = controlIds(entry, all, said)
  return all.map((one, index) => withControlId(one, ids[index] ?? ''))
}
