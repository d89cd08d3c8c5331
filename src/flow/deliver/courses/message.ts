import { uuidV5 } from '../../../core/basics/uuid-v5.ts'
import { NAMESPACE } from '../../../core/fhir/identifiers.ts'
import { acknowledgedId } from '../../../core/hl7v2/acknowledgement.ts'
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
  const ids = notRefused(
    all.map((one) => messageControlId(entry, one)),
    said,
  )
  return all.map((one, index) => withControlId(one, ids[index] ?? ''))
}

/** Hexadecimal digits of a control id: MSH-10 has room for 20 characters. Source: HL7 v2.5.1 chapter 2, MSH-10. */
const CONTROL_ID_DIGITS = 20

/**
 * MSH-10, from all that is told and from nothing else: a receiver takes a message under a control id that it had before for
 * a repetition, and answers it as it answered then. What waits while something newer takes its place tells the same as
 * that, and is the same message; what is put right after a refusal is another one. Nothing in a message says when it is
 * sent. What is brought over to another patient may say the same as was said before, and is no repetition of it: its entry
 * tells it apart.
 *
 * @param unnamed the message without its control id.
 */
export function messageControlId(
  { id, destination, movedFrom }: Pick<OutboxEntry, 'id' | 'destination' | 'movedFrom'>,
  unnamed: string,
): string {
  const moved = movedFrom === undefined ? '' : `moved/${id}/`
  return controlIdFor(`message/${destination}/${moved}${unnamed}`)
}

/** Refusals of one message that are told apart. Common practice: each of them is followed by what a person does. */
const MOST_REFUSED = 100

/**
 * Control ids that the receiver did not refuse: what it refused it did not take, and a receiver that remembers a control id
 * would refuse the same message for ever, also once the cause was mended there. The next one follows from the one that was
 * refused, so that what nobody acknowledged after that is still sent again under the same. What follows the first of two is
 * named after that one, once it was refused: so the one that was taken keeps its control id where the other is refused.
 *
 * @param ids of the messages of an entry, as they are until one is refused.
 */
function notRefused(ids: readonly string[], said: ClinicSaid | undefined): readonly string[] {
  const refused = said?.text === undefined ? undefined : acknowledgedId(said.text)
  const [own, behind] = ids
  if (refused === undefined || own === undefined) return ids
  const following = (id: string): readonly string[] => {
    if (behind === undefined) return []
    return [id === own ? behind : controlIdFor(`message/${behind}/behind/${id}`)]
  }
  for (const id of idsFrom(own)) {
    if (id === refused) return [nextId(id), ...following(nextId(id))]
    if (following(id).flatMap(idsFrom).includes(refused)) return [id, nextId(refused)]
  }
  return ids
}

/** An id, and those that follow from it, each after the one before was refused. */
function idsFrom(first: string): readonly string[] {
  const ids = [first]
  while (ids.length < MOST_REFUSED) ids.push(nextId(ids.at(-1) ?? first))
  return ids
}

function nextId(id: string): string {
  return controlIdFor(`message/after/${id}`)
}

function controlIdFor(name: string): string {
  return uuidV5(NAMESPACE, name).replaceAll('-', '').slice(0, CONTROL_ID_DIGITS)
}
