import { count, described, flag, list, moment, object, ref, text, uuid } from './schema-words.ts'

const versioned = {
  version: described(
    { type: 'integer', minimum: 1 },
    '1 as first received; one more for each correction and a withdrawal',
  ),
  withdrawn: flag,
}

const sha256 = { type: 'string', pattern: '^[0-9a-f]{64}$' }
const range = { type: 'array', items: { type: 'number' }, minItems: 2, maxItems: 2 }

const findingProperties = {
  code: text,
  kind: { enum: ['technique', 'plausibility', 'attention'] },
  severity: { enum: ['information', 'warning'] },
  reading: described({ type: 'integer', minimum: 1 }, 'From 1; absent when it concerns the whole sitting'),
  direction: { enum: ['reads-high', 'reads-low', 'either', 'unknown'] },
  size: {
    type: 'object',
    description: 'Published mean effect in mmHg, lowest and highest',
    properties: { systolic: range, diastolic: range },
  },
  text,
  citation: text,
  alsoCites: list(text),
}

const receiptProperties = {
  outcome: {
    enum: ['kept', 'same', 'corrected', 'withdrawn'],
    description: 'same: this content was held before; nothing changed',
  },
  session: uuid,
  source: text,
  id: text,
  ...versioned,
  sha256: described(sha256, 'Of the JSON text of this version as it was first received'),
  receivedAt: moment,
  enrolled: described(flag, 'Whether the subject is linked to a clinic’s patient'),
  findings: list(ref('Finding')),
}

const refusedProperties = {
  outcome: { const: 'refused' },
  code: ref('Code'),
  issues: list(ref('Issue')),
}

const skippedProperties = {
  outcome: { const: 'skipped' },
  because: described(text, 'Why the mapping leaves it out'),
}

/** Where in what was sent a result belongs; our own records in an array go by their order. */
const place = {
  line: described({ type: 'integer', minimum: 1 }, 'Line of a record of ours in a stream'),
  lines: list({ type: 'integer', minimum: 1 }, 'Lines of the records that a mapping made one sitting of'),
  paths: list(text, 'Places of such records in a document, as RFC 9535 normalized paths'),
  remarks: list(ref('Issue'), 'What was passed over or read with a tolerance'),
}
const PLACE = Object.keys(place)

/** Session records: what becomes of them, and what is held. */
export const sessionSchemas = {
  Finding: object(findingProperties, {
    optional: ['reading', 'size', 'alsoCites'],
    description: 'Something noticed about how a reading was taken. Never changes a value.',
  }),
  Receipt: object(receiptProperties, { description: 'Proof that a record is kept, durably' }),
  Result: {
    description: 'What became of one record, and where in what was sent it stands',
    oneOf: [
      object({ ...place, ...receiptProperties }, { optional: PLACE }),
      object({ ...place, ...refusedProperties }, { optional: PLACE }),
      object({ ...place, ...skippedProperties }, { optional: PLACE }),
    ],
  },
  Summary: object(
    {
      received: count,
      kept: count,
      same: count,
      corrected: count,
      withdrawn: count,
      refused: count,
      skipped: count,
    },
    { description: 'How many records met each outcome; skipped are those a mapping leaves out knowingly' },
  ),
  Results: object({ results: list(ref('Result')), summary: ref('Summary') }),
  ResultLine: {
    description:
      'A result, or in the last line the summary; an answer without it is not complete. A problem in its place tells ' +
      'why the stream broke off, and soFar what was answered before, which stays true.',
    oneOf: [
      ref('Result'),
      object({ summary: ref('Summary') }),
      object({ problem: ref('Problem'), soFar: ref('Summary') }),
    ],
  },
  KeptSession: object({
    session: uuid,
    id: text,
    source: text,
    ...versioned,
    sha256,
    receivedAt: moment,
    record: described({ type: 'object' }, 'The record as it was received, to the digit'),
  }),
}
