import { allOf, count, described, list, object, ref, text } from './schema-words.ts'

const place = object(
  { line: { type: 'integer', minimum: 1 }, path: text },
  { optional: ['line'], description: 'A line, and a column or RFC 9535 normalized path' },
)

const field = object({
  place: described(text, 'Place in the session record, such as readings[0].systolic'),
  rule: described(text, 'JSON pointer of the rule in the mapping'),
  line: described({ type: 'integer', minimum: 1 }, 'Line of the rule in the mapping’s file'),
  how: { enum: ['as-is', 'number', 'time', 'code-table', 'constant', 'made'] },
  from: list(place),
})

/** Mappings of other formats, and what records would become under one. */
export const mappingSchemas = {
  Mapping: object({
    name: text,
    title: text,
    format: { enum: ['json', 'bluetooth', 'fhir', 'csv', 'hl7v2'] },
    mediaTypes: list(text),
    sha256: { type: 'string', pattern: '^[0-9a-f]{64}$' },
  }),
  MappingList: allOf('Mapping'),
  Rehearsed: object({
    mapping: ref('Mapping'),
    rehearsals: list(
      object(
        {
          verdict: { enum: ['passes', 'withdraws', 'refused', 'skipped'] },
          sources: list(place, 'The records it is about'),
          record: described({ type: 'object' }, 'The session record that the mapping makes'),
          fields: list(field, 'Where each value comes from'),
          unfilled: list(field, 'Places that rules could fill, and for which the source has nothing'),
          ignored: list(place, 'Values of the source that no rule reads'),
          issues: list(ref('Issue')),
          remarks: list(ref('Issue')),
          findings: list(ref('Finding')),
          observations: described(count, 'FHIR Observations the session would become'),
          withdraws: described(text, 'Id of the session that is taken back'),
          corrects: described(
            { const: true },
            'A record says that it takes the place of what was sent before',
          ),
          because: described(text, 'Why the records are left out'),
        },
        { optional: ['record', 'withdraws', 'corrects', 'because'] },
      ),
    ),
  }),
}
