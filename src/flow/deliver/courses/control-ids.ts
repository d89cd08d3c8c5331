import { uuidV5 } from '../../../core/basics/uuid-v5.ts'
import { NAMESPACE } from '../../../core/fhir/identifiers.ts'
import { acknowledgedId } from '../../../core/hl7v2/acknowledgement.ts'
import type { ClinicSaid, OutboxEntry } from '../../../core/outbox/entry.ts'

/** Hexadecimal digits of a control id: MSH-10 has room for 20 characters. Source: HL7 v2.5.1 chapter 2, MSH-10. */
const CONTROL_ID_DIGITS = 20

/** Refusals of one message that are told apart. Common practice: each of them is followed by what a person does. */
const MOST_REFUSED = 100

type Told = Pick<OutboxEntry, 'id' | 'destination' | 'movedFrom'>

/**
 * Control ids (MSH-10) of the messages of an entry that the receiver did not refuse: what it refused it did not take, and a
 * receiver that remembers a control id would refuse the same message for ever, also once the cause was mended there. The
 * next one follows from the one that was refused, so that what nobody acknowledged after that is still sent again under the
 * same. What follows the first of two is named after that one, once it was refused: so the one that was taken keeps its
 * control id where the other is refused.
 *
 * @param unnamed the messages without their control ids, in the order they are sent.
 * @param said what the receiver said last about the entry.
 */
export function controlIds(
  entry: Told,
  unnamed: readonly string[],
  said: ClinicSaid | undefined,
): readonly string[] {
  const ids = unnamed.map((message) => firstId(entry, message))
  const refused = said?.text === undefined ? undefined : acknowledgedId(said.text)
  const [own, behind] = ids
  if (refused === undefined || own === undefined) return ids
  const following = (id: string): readonly string[] => {
    if (behind === undefined) return []
    return [id === own ? behind : controlIdFor(`message/${behind}/behind/${id}`)]
  }
  for (const id of idsFrom(own)) {
    if (id === refused) return [nextId(id), ...following(nextId(id))]
    if (following(id).some((one) => leadsTo(refused, one))) return [id, nextId(refused)]
  }
  return ids
}

/**
 * From all that is told and from nothing else: a receiver takes a message under a control id that it had before for a
 * repetition, and answers it as it answered then. What waits while something newer takes its place tells the same as that,
 * and is the same message; what is put right after a refusal is another one. Nothing in a message says when it is sent.
 * What is brought over to another patient may say the same as was said before, and is no repetition of it: its entry tells
 * it apart.
 */
function firstId({ id, destination, movedFrom }: Told, unnamed: string): string {
  const moved = movedFrom === undefined ? '' : `moved/${id}/`
  return controlIdFor(`message/${destination}/${moved}${unnamed}`)
}

/** An id, and those that follow from it, each after the one before was refused. */
function* idsFrom(first: string): Generator<string> {
  for (let id = first, told = 0; told < MOST_REFUSED; told += 1, id = nextId(id)) yield id
}

function leadsTo(wanted: string, first: string): boolean {
  for (const id of idsFrom(first)) if (id === wanted) return true
  return false
}

function nextId(id: string): string {
  return controlIdFor(`message/after/${id}`)
}

function controlIdFor(name: string): string {
  return uuidV5(NAMESPACE, name).replaceAll('-', '').slice(0, CONTROL_ID_DIGITS)
}
