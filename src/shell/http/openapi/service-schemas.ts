import { ERROR_CODES } from '../../../core/basics/error-codes.ts'
import { OUTBOX_STATES } from '../../../core/outbox/entry.ts'
import { count, described, list, moment, object, ref, text } from './schema-words.ts'

const issue = {
  at: described(text, 'Where: readings[1].systolic, query.source, header.Accept'),
  expected: described(text, 'What was expected there'),
  remedy: described(text, 'What to do'),
  code: ref('Code'),
  line: described({ type: 'integer', minimum: 1 }, 'Line of a stream or file'),
  from: described(text, 'Where in the source’s own record: a column, or an RFC 9535 normalized path'),
  mapping: described(text, 'The rule of a mapping by which it came'),
}

/** Refusals, and what the service tells of itself and of what was done. */
export function serviceSchemas(canonicalBase: string) {
  const problem = {
    type: { type: 'string', format: 'uri', examples: [`${canonicalBase}/problems/MISSING_KEY`] },
    title: text,
    status: { type: 'integer', minimum: 400, maximum: 599 },
    detail: text,
    instance: described(text, 'urn:uuid: of the incident, when the gateway itself failed'),
    code: ref('Code'),
    issues: list(ref('Issue')),
    results: list(ref('Result'), 'Only where all of several records are refused'),
    summary: ref('Summary'),
    state: described({ enum: OUTBOX_STATES }, 'Of a delivery that cannot be retried or confirmed in it'),
  }
  return {
    Code: { type: 'string', enum: Object.keys(ERROR_CODES), description: 'Explained at /problems/{code}' },
    Issue: object(issue, { optional: ['line', 'from', 'mapping'] }),
    Problem: object(problem, {
      optional: ['instance', 'results', 'summary', 'state'],
      description: 'RFC 9457 problem details',
    }),
    Meaning: object({ code: ref('Code'), meaning: text, remedy: text }),
    Health: object({ status: { enum: ['live', 'ready', 'not-ready'] } }),
    KeySet: object({ keys: list({ type: 'object' }) }, { description: 'A JWK Set, RFC 7517' }),
    AuditRow: object(
      {
        seq: { type: 'integer', minimum: 1 },
        at: moment,
        actor: described(
          text,
          'source:harbour-app, operator, reader, auditor, gateway; after # the id of the key, as in operator#3fa94c0d2b1e',
        ),
        action: text,
        about: described(text, 'UUID or name of the thing acted on'),
        outcome: { enum: ['done', 'refused', 'failed'] },
        detail: described({ type: 'object' }, 'Counts and codes'),
        hash: described(
          { type: 'string', pattern: '^[0-9a-f]{64}$' },
          'SHA-256 over the previous row’s hash and this entry; the first row follows 64 zeros',
        ),
      },
      { description: 'Who did what, when, told without health data' },
    ),
    AuditVerdict: object(
      {
        intact: { type: 'boolean' },
        rows: described(count, 'Rows that follow from one another, from the first one on'),
        hash: described({ type: 'string', pattern: '^[0-9a-f]{64}$' }, 'Of the last of these rows'),
        broken: object(
          {
            seq: { type: 'integer' },
            what: { enum: ['added', 'changed', 'missing', 'cut-off', 'rewritten'] },
          },
          {
            description:
              'The first row that was changed, added or is missing; beside what was kept also: from which row on they were cut off, or that the row has another hash',
          },
        ),
      },
      { optional: ['broken'] },
    ),
    Page: object(
      { items: list(ref('AuditRow')), next: described(text, 'Cursor of the next page; absent on the last') },
      { optional: ['next'] },
    ),
    FhirResource: {
      type: 'object',
      description: 'A FHIR R4 4.0.1 resource',
      required: ['resourceType'],
      properties: { resourceType: { type: 'string' } },
      additionalProperties: true,
    },
  }
}
