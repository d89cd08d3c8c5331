import { z } from 'zod'
import { ERROR_CODES } from '../../../core/basics/error-codes.ts'
import { sessionRecordJsonSchema } from '../../../core/record/session-record-json-schema.ts'
import { enrolmentRequest } from '../enrolments-routes.ts'
import { periodRequest } from '../periods-routes.ts'
import { keyRequest, sourceRequest } from '../sources-routes.ts'
import { deliverySchemas } from './delivery-schemas.ts'

/** What clients send is described by the schemas that read it; what they get is written out here. */
export function openApiSchemas(canonicalBase: string): Readonly<Record<string, unknown>> {
  const { $schema: _, ...sessionRecord } = sessionRecordJsonSchema()
  return {
    SessionRecord: sessionRecord,
    SourceRequest: asJsonSchema(sourceRequest),
    KeyRequest: asJsonSchema(keyRequest),
    EnrolmentRequest: asJsonSchema(enrolmentRequest),
    PeriodRequest: asJsonSchema(periodRequest),
    Code: { type: 'string', enum: Object.keys(ERROR_CODES), description: 'Explained at /problems/{code}' },
    Issue: {
      type: 'object',
      required: ['at', 'expected', 'remedy', 'code'],
      properties: {
        at: { type: 'string', description: 'Where: readings[1].systolic, query.source, header.Accept' },
        expected: { type: 'string', description: 'What was expected there' },
        remedy: { type: 'string', description: 'What to do' },
        code: ref('Code'),
        line: { type: 'integer', description: 'Line of an NDJSON stream, from 1' },
      },
    },
    Problem: {
      type: 'object',
      description: 'RFC 9457 problem details',
      required: ['type', 'title', 'status', 'detail', 'code', 'issues'],
      properties: {
        type: { type: 'string', examples: [`${canonicalBase}/problems/MISSING_KEY`] },
        title: { type: 'string' },
        status: { type: 'integer' },
        detail: { type: 'string' },
        instance: {
          type: 'string',
          description: 'urn:uuid: of the incident, when the gateway itself failed',
        },
        code: ref('Code'),
        issues: { type: 'array', items: ref('Issue') },
      },
    },
    Finding: {
      type: 'object',
      description: 'Something noticed about how a reading was taken. Never changes a value.',
      required: ['code', 'kind', 'severity', 'direction', 'text', 'citation'],
      properties: {
        code: { type: 'string' },
        kind: { enum: ['technique', 'plausibility', 'attention'] },
        severity: { enum: ['information', 'warning'] },
        reading: { type: 'integer', description: 'From 1; absent when it concerns the whole sitting' },
        direction: { enum: ['reads-high', 'reads-low', 'either', 'unknown'] },
        size: { type: 'object', description: 'Published mean effect in mmHg, lowest and highest' },
        text: { type: 'string' },
        citation: { type: 'string' },
      },
    },
    Receipt: {
      type: 'object',
      description: 'Proof that a record is kept, durably',
      required: [
        'outcome',
        'session',
        'id',
        'source',
        'version',
        'withdrawn',
        'sha256',
        'receivedAt',
        'enrolled',
        'findings',
      ],
      properties: {
        outcome: {
          enum: ['kept', 'same', 'corrected', 'withdrawn'],
          description: 'same: this content was held before; nothing changed',
        },
        session: { type: 'string', format: 'uuid' },
        id: { type: 'string' },
        source: { type: 'string' },
        ...versioned,
        sha256: { type: 'string', description: 'Of the JSON text of this version as it was first received' },
        receivedAt: { type: 'string', format: 'date-time' },
        enrolled: { type: 'boolean', description: 'Whether the subject is linked to a clinic’s patient' },
        findings: { type: 'array', items: ref('Finding') },
      },
    },
    Refused: {
      type: 'object',
      required: ['outcome', 'code', 'issues'],
      properties: {
        outcome: { const: 'refused' },
        code: ref('Code'),
        issues: { type: 'array', items: ref('Issue') },
      },
    },
    Summary: {
      type: 'object',
      required: ['received', 'kept', 'same', 'refused'],
      properties: Object.fromEntries(
        ['received', 'kept', 'same', 'refused'].map((name) => [name, { type: 'integer' }]),
      ),
    },
    Results: {
      type: 'object',
      required: ['results', 'summary'],
      properties: {
        results: { type: 'array', items: { oneOf: [ref('Receipt'), ref('Refused')] } },
        summary: ref('Summary'),
      },
    },
    KeptSession: {
      type: 'object',
      required: ['session', 'id', 'source', 'version', 'withdrawn', 'sha256', 'receivedAt', 'record'],
      properties: {
        session: { type: 'string', format: 'uuid' },
        id: { type: 'string' },
        source: { type: 'string' },
        ...versioned,
        sha256: { type: 'string' },
        receivedAt: { type: 'string', format: 'date-time' },
        record: { description: 'The record as it was received' },
      },
    },
    Issued: { type: 'object', required: ['revision', 'issued', 'status'], properties: issued },
    Average: {
      type: 'object',
      description: 'An average as people read it, with its place among those of its period',
      required: ['revision', 'issued', 'status'],
      properties: issued,
    },
    SweptAverage: {
      type: 'object',
      description: 'A person, or in the last line the summary',
      properties: {
        source: { type: 'string' },
        subject: { type: 'string' },
        received: { type: 'integer', description: 'Readings received for the days' },
        used: { type: 'integer' },
        days: { type: 'integer', description: 'Local days with a reading that counts' },
        mean: { ...sweptMean, description: 'Absent when no reading counts' },
        byWindow: { type: 'array', items: sweptMean },
        problem: { description: 'A code in place of the numbers, or the problem that broke off the stream' },
        summary: { type: 'object', properties: { people: { type: 'integer' } } },
      },
    },
    Page: {
      type: 'object',
      required: ['items'],
      properties: {
        items: { type: 'array', items: { type: 'object' } },
        next: { type: 'string', description: 'Cursor of the next page; absent on the last' },
      },
    },
    ...deliverySchemas,
    FhirResource: {
      type: 'object',
      description: 'A FHIR R4 4.0.1 resource',
      required: ['resourceType'],
      properties: { resourceType: { type: 'string' } },
    },
  }
}

const versioned = {
  version: {
    type: 'integer',
    description: '1 as first received; one more for each correction and a withdrawal',
  },
  withdrawn: { type: 'boolean' },
}

const issued = {
  revision: { type: 'integer', description: '1 for the first; one more for each amendment' },
  issued: { type: 'string', format: 'date-time' },
  status: { enum: ['final', 'amended'] },
  previous: { type: 'string', description: 'Path of the average before it; absent for the first' },
  successor: { type: 'string', description: 'Path of the average that amends it; absent for the newest' },
}

const sweptMean = {
  type: 'object',
  properties: {
    window: { type: 'string' },
    systolicMmHg: { type: 'number' },
    diastolicMmHg: { type: 'number' },
    readings: { type: 'integer' },
  },
}

export function ref(name: string): { readonly $ref: string } {
  return { $ref: `#/components/schemas/${name}` }
}

function asJsonSchema(schema: z.ZodType): object {
  const { $schema: _, ...rest } = z.toJSONSchema(schema, { io: 'input', target: 'draft-2020-12' })
  return rest
}
