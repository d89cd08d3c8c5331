import { inputError } from '../../../core/basics/issue.ts'
import type { CheckedSession } from '../../../core/clinical/averaging/period-average.ts'
import { convertText } from '../../../flow/check/convert-record.ts'
import { type PersonOptions, readPerson } from '../options/person-options.ts'
import type { Terminal } from '../terminal.ts'
import { recordsOf } from './read-records.ts'
import type { Refusal } from './refusals.ts'

/** The sessions of one person, each once, and the records that were refused. */
export interface Sittings {
  readonly sittings: readonly CheckedSession[]
  readonly refused: readonly Refusal[]
}

/**
 * Reads, checks, converts and validates every record of the files. A record sent twice counts once; one of another
 * person than the first is refused, because an average is of one person.
 */
export async function readSittings(
  files: readonly string[],
  options: PersonOptions,
  terminal: Terminal,
): Promise<Sittings> {
  const context = {
    source: 'command-line',
    canonicalBase: options.canonicalBase,
    person: readPerson(options),
    receivedMs: Date.now(),
  }
  const sittings = new Map<string, CheckedSession>()
  const refused: Refusal[] = []
  for await (const { read, place } of recordsOf(files, 'records', terminal)) {
    const converted = read.ok ? convertText(read.value, context) : read
    if (!converted.ok) refused.push({ ...place, issues: converted.issues })
    else if (subjectsDiffer(sittings, converted.value)) refused.push({ ...place, issues: [ANOTHER_PERSON] })
    else sittings.set(converted.value.uuid, converted.value)
  }
  return { sittings: [...sittings.values()], refused }
}

function subjectsDiffer(sittings: ReadonlyMap<string, CheckedSession>, { session }: CheckedSession): boolean {
  const [first] = sittings.values()
  return first !== undefined && first.session.subject !== session.subject
}

const ANOTHER_PERSON = inputError(
  'business-rule',
  'OTHER_SUBJECT',
  'subject',
  'the subject of the first record: an average is of one person',
  'Average each person by itself.',
)
