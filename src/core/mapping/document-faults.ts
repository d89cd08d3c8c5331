import type { z } from 'zod'
import { type Issue, inputError } from '../basics/issue.ts'
import { isNonEmpty, type NonEmpty } from '../basics/result.ts'
import { nearestKey } from '../json-text/nearest-key.ts'
import { placeText } from '../json-text/place-text.ts'
import { DEFAULT_JSON_LIMITS, readJson } from '../json-text/read-json.ts'
import { DocumentLines, type DocumentPath } from './document-lines.ts'

/** Issues told about one file. */
const MOST_FAULTS = 100

/** A file of a mapping that is being read, and every fault found in it so far, each with its line. */
export class DocumentFile {
  /** As issues name it: `open-mhealth.json`, `concept-maps/posture.json`. */
  readonly name: string
  readonly text: string
  readonly lines: DocumentLines
  readonly value: unknown
  readonly #faults: Issue[] = []

  constructor(name: string, text: string) {
    this.name = name
    this.text = text
    this.lines = new DocumentLines(text)
    const read = readJson(text, DEFAULT_JSON_LIMITS)
    if (read.ok) this.value = read.value
    else this.#faults.push(...read.issues.map((issue) => ({ ...issue, mapping: name })))
  }

  /** Whether nothing wrong was found so far. */
  get isSound(): boolean {
    return this.#faults.length === 0
  }

  get faults(): readonly Issue[] {
    return this.#faults
  }

  /** @param expected a clause; `remedy` a sentence. */
  add(path: DocumentPath, expected: string, remedy = `Correct it in ${this.name}.`): void {
    if (this.#faults.length >= MOST_FAULTS) return
    const issue = inputError('invalid', 'BAD_MAPPING', placeText(path), expected, remedy)
    this.#faults.push({ ...issue, mapping: `${this.name}:${this.lines.of(path)}` })
  }

  /** The document by its schema; undefined when the schema refuses it, which is noted. */
  readBy<S extends z.ZodType>(
    schema: S,
    keysAt?: (path: DocumentPath) => readonly string[],
  ): z.output<S> | undefined {
    const read = schema.safeParse(this.value)
    if (read.success) return read.data
    for (const issue of read.error.issues) this.#addSchemaIssue(issue, keysAt)
    return undefined
  }

  #addSchemaIssue(
    issue: z.core.$ZodIssue,
    keysAt: (path: DocumentPath) => readonly string[] = () => [],
  ): void {
    const path = issue.path.map((step) => (typeof step === 'number' ? step : String(step)))
    if (issue.code !== 'unrecognized_keys') {
      this.add(path, expectedBy(issue))
      return
    }
    for (const key of issue.keys) {
      const near = nearestKey(key, keysAt(path))
      const remedy = near === undefined ? 'Remove it, or correct its spelling.' : `Did you mean \`${near}\`?`
      this.add([...path, key], 'no such key', remedy)
    }
  }
}

/** Every fault of these files together; undefined when there is none. */
export function faultsOf(files: readonly DocumentFile[]): NonEmpty<Issue> | undefined {
  const faults = files.flatMap((file) => file.faults)
  return isNonEmpty(faults) ? faults : undefined
}

/** What the schema wanted, as a clause. The schemas' own messages are such clauses already. */
function expectedBy(issue: z.core.$ZodIssue): string {
  switch (issue.code) {
    case 'invalid_type':
      // A key that must not be there says so itself.
      return issue.expected === 'undefined'
        ? issue.message
        : (KINDS[issue.expected] ?? `a value of type ${issue.expected}`)
    case 'invalid_value':
      return `one of ${issue.values.map((value) => JSON.stringify(value)).join(', ')}`
    case 'too_small':
      return `${issue.inclusive ? 'at least' : 'more than'} ${issue.minimum}${countedBy(issue.origin)}`
    case 'too_big':
      return `${issue.inclusive ? 'at most' : 'less than'} ${issue.maximum}${countedBy(issue.origin)}`
    default:
      return issue.message
  }
}

const KINDS: Readonly<Record<string, string>> = {
  string: 'a text',
  number: 'a number',
  boolean: 'true or false',
  array: 'a list',
  object: 'an object',
}

function countedBy(origin: string): string {
  if (origin === 'string') return ' characters'
  return origin === 'array' ? ' items' : ''
}
