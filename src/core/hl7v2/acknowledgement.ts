import { type ClinicSaid, SAID_CHARACTERS } from '../outbox/entry.ts'
import type { MessageDestination } from '../registry/destination.ts'
import { unescapeText } from './escape-text.ts'
import type { MessageAnswer } from './message-answer.ts'
import type { Separators } from './separators.ts'

/** What a message that came back is to the one that was sent. */
export type HeardMessage =
  | { readonly kind: 'answer'; readonly answer: MessageAnswer }
  /** CA: stored, and what settles is still to come. */
  | { readonly kind: 'stored' }
  /** No acknowledgement of this message: a late one of an earlier message, or none at all. */
  | { readonly kind: 'other' }

/** What was sent, and what settles it. */
export interface AwaitedAcknowledgement {
  /** MSH-10 of the message that was sent. */
  readonly controlId: string
  readonly settledBy: MessageDestination['settledBy']
}

const OTHER: HeardMessage = { kind: 'other' }

/**
 * Reads an acknowledgement by HL7 table 0008. Only one whose MSA-2 is our control id counts. An AA settles whichever
 * was asked for: who files has stored. A code that is not in the table answers nothing: the same message is sent again.
 * Where ERR says that it does not know the key in PID (table 0357, 204), the patient is unknown.
 * Source: HL7 v2.5.1 sections 2.9.2 and 2.9.3, MSA 2.15.8, ERR 2.15.5.
 *
 * @param text of the message, any separators, lines ended by CR, LF or both.
 */
export function readAcknowledgement(text: string, awaited: AwaitedAcknowledgement): HeardMessage {
  const acknowledged = acknowledgedIn(text)
  if (acknowledged?.controlId !== awaited.controlId) return OTHER
  const { lines, separators, rows, code } = acknowledged
  switch (code.trim()) {
    case 'AA':
      return { kind: 'answer', answer: { kind: 'accepted' } }
    case 'CA':
      return awaited.settledBy === 'commit'
        ? { kind: 'answer', answer: { kind: 'accepted' } }
        : { kind: 'stored' }
    case 'AE':
    case 'CE': {
      const problem = rows.some((row) => saysUnknownPatient(row, separators))
        ? 'PATIENT_UNKNOWN'
        : 'CLINIC_REFUSED'
      return { kind: 'answer', answer: { kind: 'refused', problem, said: saidBy(lines) } }
    }
    case 'AR':
    case 'CR':
      return {
        kind: 'answer',
        answer: { kind: 'stop', problem: 'RECEIVER_REJECTS', said: saidBy(lines) },
      }
    default:
      return { kind: 'answer', answer: { kind: 'unheard', problem: 'CLINIC_ANSWER_UNREADABLE' } }
  }
}

/** MSA-2 of an acknowledgement that was kept; undefined where the text is none. */
export function acknowledgedId(text: string): string | undefined {
  return acknowledgedIn(text)?.controlId
}

function acknowledgedIn(text: string) {
  const lines = text.split(/\r\n|\r|\n/)
  const separators = separatorsOf(lines[0] ?? '')
  if (separators === undefined) return undefined
  const rows = lines.map((line) => line.split(separators.field))
  const [, code = '', controlId = ''] = rows.find(([name]) => name === 'MSA') ?? []
  return { lines, separators, rows, code, controlId: unescapeText(controlId, separators).trim() }
}

/** MSH-10 of a message of ours. */
export function controlIdOf(message: string): string {
  const end = message.indexOf('\r')
  return unescapeText((end === -1 ? message : message.slice(0, end)).split('|')[9] ?? '')
}

/** Source: HL7 v2.5.1 section 2.5.4: MSH-1 is the character behind `MSH`, MSH-2 the four after it. */
function separatorsOf(header: string): Separators | undefined {
  const parts = /^MSH(.)(.)(.)(.)(.)/u.exec(header)
  if (parts === null) return undefined
  const [field = '', component = '', repetition = '', mark = '', subcomponent = ''] = parts.slice(1)
  return { field, component, repetition, escape: mark, subcomponent }
}

/** By ERR-2 and ERR-3, or by ERR-1 as it was until 2.4: segment in its first component, code in its fourth. */
function saysUnknownPatient(row: readonly string[], { component, subcomponent }: Separators): boolean {
  const [name, earlier = '', location = '', code = ''] = row
  if (name !== 'ERR') return false
  const [place = '', , , reason = ''] = earlier.split(component)
  return (
    (location.split(component)[0] === 'PID' && code.split(component)[0] === UNKNOWN_KEY) ||
    (place === 'PID' && reason.split(subcomponent)[0] === UNKNOWN_KEY)
  )
}

/** Unknown key identifier. Source: HL7 table 0357. */
const UNKNOWN_KEY = '204'

function saidBy(lines: readonly string[]): ClinicSaid {
  return { text: lines.join('\n').trim().slice(0, SAID_CHARACTERS) }
}
