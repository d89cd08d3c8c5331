import { type Issue, inputError } from '../basics/issue.ts'
import type { ReadSegment } from './read-segments.ts'
import { offsetOf } from './read-time.ts'

/** What a mapping can read of MSH. */
export interface MessageTree {
  /** MSH-10. */
  readonly controlId: string
  readonly version: string
  /** MSH-11: P production, T training, D debugging. Source: HL7 table 0103. */
  readonly processing: string
  readonly sender: { readonly application: string; readonly facility: string }
}

/** Versions whose ORU^R01 is read alike. Source: HL7 table 0104. */
const VERSIONS: ReadonlySet<string> = new Set([
  '2.3',
  '2.3.1',
  '2.4',
  '2.5',
  '2.5.1',
  '2.6',
  '2.7',
  '2.7.1',
  '2.8',
  '2.8.1',
  '2.8.2',
])

/** What MSH-18 may say of a text that was received as UTF-8; nothing is ASCII. Source: HL7 table 0211. */
const CHARACTER_SETS: ReadonlySet<string> = new Set(['', 'ASCII', 'UNICODE UTF-8'])

export function messageTree(header: ReadSegment): MessageTree {
  return {
    controlId: header.text(10),
    version: header.text(12),
    processing: header.text(11),
    sender: { application: header.text(3), facility: header.text(4) },
  }
}

/** Why a message cannot be read, by its header. Source: HL7 v2.5.1 section 2.15.9. */
export function* headerIssues(header: ReadSegment): Generator<Issue> {
  const [type, event, structure] = [header.text(9, 1), header.text(9, 2), header.text(9, 3)]
  if (type !== 'ORU' || event !== 'R01' || (structure !== '' && structure !== 'ORU_R01')) {
    const expected = 'ORU^R01 or ORU^R01^ORU_R01'
    yield wrong(header, 9, 'NOT_SUPPORTED', expected, 'Send readings as unsolicited results.')
  }
  if (header.text(10) === '')
    yield wrong(header, 10, 'MISSING_KEY', 'a control id', 'Give each message an id of its own.')
  if (!VERSIONS.has(header.text(12)))
    yield wrong(header, 12, 'NOT_SUPPORTED', 'a version from 2.3 to 2.8', 'Send one of these versions.')
  if (header.text(7) !== '' && offsetOf(header.text(7)) === undefined) {
    const expected = 'a time such as 20261124213005+0100'
    yield wrong(header, 7, 'BAD_TIME', expected, 'Send a time of that form, or none.')
  }
  if (!CHARACTER_SETS.has(header.text(18)) || header.repetitions(18) > 1) {
    const expected = 'UNICODE UTF-8, ASCII or nothing'
    yield wrong(header, 18, 'NOT_SUPPORTED', expected, 'Send the message in UTF-8.')
  }
}

function wrong(
  header: ReadSegment,
  field: number,
  code: 'NOT_SUPPORTED' | 'MISSING_KEY' | 'BAD_TIME',
  expected: string,
  remedy: string,
): Issue {
  const type = code === 'NOT_SUPPORTED' ? 'not-supported' : code === 'MISSING_KEY' ? 'required' : 'value'
  return inputError(type, code, header.place(field), expected, remedy)
}
