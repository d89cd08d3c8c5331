import { z } from 'zod'
import { readInstant } from '../basics/instant.ts'
import { type Issue, inputError } from '../basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../basics/result.ts'

/** Far above the 23 bytes of the longest measurement, as hex with blanks. A local choice. */
const LONGEST_VALUE = 200
const LONGEST_TEXT = 200
const LONGEST_NOTE = 2000

const text = (what: string) => z.string().min(1).max(LONGEST_TEXT).describe(described(what, LONGEST_TEXT))

const optionalText = (what: string, longest = LONGEST_TEXT) =>
  z.string().min(1).max(longest).exactOptional().describe(described(what, longest))

function described(what: string, longest: number): string {
  return `${what}: text of 1 to ${longest} characters`
}

const device = z.strictObject({
  manufacturer: optionalText('manufacturer of the monitor'),
  model: optionalText('model of the monitor'),
  serial: optionalText('serial number of the monitor'),
  kind: optionalText('kind of monitor, a word of the session record'),
})

/**
 * What a phone app sends of one indication: the bytes as it received them, and what only the app knows. A closed object
 * at every level. `position`, `arm` and `site` are words of the session record, judged with it.
 */
const envelope = z
  .strictObject({
    characteristic: text(
      'number of the characteristic the value came from, such as 2A35, alone or as its 128-bit UUID',
    ),
    value: z
      .string()
      .min(1)
      .max(LONGEST_VALUE)
      .describe(`the value as it was indicated: text of 1 to ${LONGEST_VALUE} characters`),
    encoding: z.enum(['hex', 'base64']).describe('how the bytes are written: hex or base64'),
    feature: optionalText('value of the Blood Pressure Feature characteristic, in the same encoding'),
    subject: text('the source’s own id for the person'),
    receivedAt: z
      .string()
      .refine((written) => readInstant(written) !== undefined)
      .describe('when the app received the value: RFC 3339 with seconds and offset'),
    monitorUser: z
      .int()
      .min(0)
      .max(254)
      .exactOptional()
      .describe('which of the monitor’s users the person is: a whole number from 0 to 254'),
    position: optionalText('position of the body, a word of the session record'),
    arm: optionalText('the arm that was measured, a word of the session record'),
    site: optionalText('where the cuff was, a word of the session record'),
    device: device.exactOptional().describe('an object with the monitor'),
    note: optionalText('a note by the person', LONGEST_NOTE),
  })
  .describe('a JSON object: one indication of a monitor')

export type Envelope = z.output<typeof envelope>

/** Reads an envelope, or tells everything that is wrong with it. Nothing of its content stands in an issue. */
export function readEnvelope(value: unknown): Result<Envelope> {
  const parsed = envelope.safeParse(value)
  if (parsed.success) return ok(parsed.data)
  const issues = parsed.error.issues.flatMap((problem) => issuesOf(problem, value))
  if (!isNonEmpty(issues)) throw new Error('an envelope was refused for no reason that could be told')
  return refused(issues)
}

function issuesOf(problem: z.core.$ZodIssue, value: unknown): readonly Issue[] {
  const at = problem.path.map(String).join('.')
  if (problem.code === 'unrecognized_keys') {
    const expected = 'only the keys of an indication'
    const remedy = 'Remove the key, or correct its spelling.'
    return problem.keys
      .slice(0, MOST_KEYS_TOLD)
      .map((key) =>
        inputError(
          'structure',
          'UNKNOWN_KEY',
          at === '' ? shownKey(key) : `${at}.${shownKey(key)}`,
          expected,
          remedy,
        ),
      )
  }
  const expected = descriptionAt(problem.path)
  if (problem.path.length > 0 && !isThere(value, problem.path))
    return [inputError('required', 'MISSING_KEY', at, expected, 'Add the key.')]
  switch (problem.code) {
    case 'invalid_type':
      return [inputError('structure', 'WRONG_TYPE', at, expected, 'Send the type that is named.')]
    case 'invalid_value':
      return [inputError('code-invalid', 'NOT_A_CHOICE', at, expected, 'Use one of the words listed.')]
    case 'custom':
      return [
        inputError('value', 'BAD_TIME', at, expected, 'Send a time of that form, on a day that exists.'),
      ]
    default:
      return [
        inputError('value', 'OUT_OF_RANGE', at, expected, 'Send it as described, or leave the key out.'),
      ]
  }
}

const MOST_KEYS_TOLD = 20

/** A key of the sender's is shown when it is a plain word only: it may hold anything. */
function shownKey(key: string): string {
  return /^[A-Za-z][A-Za-z0-9_-]{0,39}$/.test(key) ? key : 'key that is no plain word'
}

function descriptionAt([first, second]: readonly PropertyKey[]): string {
  const shape: Readonly<Record<string, z.ZodType>> = second === undefined ? envelope.shape : device.shape
  const key = second ?? first
  const found = key === undefined ? envelope : shape[String(key)]
  return found?.description ?? 'what the format describes'
}

function isThere(value: unknown, path: readonly PropertyKey[]): boolean {
  let inside = value
  for (const step of path) {
    if (typeof inside !== 'object' || inside === null || !Object.hasOwn(inside, step)) return false
    inside = Reflect.get(inside, step)
  }
  return true
}
