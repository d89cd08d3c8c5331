import { type CorpusCase, changes, invariant, structure } from '../corpus-case.ts'
import { glucose } from '../examples/readings.ts'

const EXT = 'Observation.extension[0].value'
const extension = (value: object) => [{ url: 'https://a.example/x', ...value }]
const trigger = (value: object) => extension({ valueTriggerDefinition: value })
const filter = (child: string, value: object) =>
  extension({ valueDataRequirement: { type: 'Observation', [child]: [value] } })

export const triggerCases: readonly CorpusCase[] = changes('glucose', glucose, [
  ['a named event', 'R4 trd-3', 'extension', trigger({ type: 'named-event', name: 'reading-received' })],
  [
    'a named event without name',
    'R4 trd-3',
    'extension',
    trigger({ type: 'named-event' }),
    invariant('trd-3', EXT),
  ],
  [
    'a periodic event without timing',
    'R4 trd-3',
    'extension',
    trigger({ type: 'periodic' }),
    invariant('trd-3', EXT),
  ],
  ['a periodic event', 'R4 trd-3', 'extension', trigger({ type: 'periodic', timingDate: '2026-03-02' })],
  [
    'a data event without data',
    'R4 trd-3',
    'extension',
    trigger({ type: 'data-added' }),
    invariant('trd-3', EXT),
  ],
  [
    'data and timing',
    'R4 trd-1',
    'extension',
    trigger({ type: 'data-added', data: [{ type: 'Observation' }], timingDate: '2026-03-02' }),
    invariant('trd-1', EXT),
  ],
  [
    'a condition without data',
    'R4 trd-2',
    'extension',
    trigger({ type: 'named-event', name: 'n', condition: { language: 'text/fhirpath', expression: 'true' } }),
    invariant('trd-2', EXT),
  ],
  [
    'a trigger of unknown type',
    'R4 value set trigger-type, required',
    'extension',
    trigger({ type: 'sunrise' }),
    structure(`${EXT}.type`),
  ],
  [
    'an expression',
    'R4 exp-1',
    'extension',
    extension({ valueExpression: { language: 'text/fhirpath', expression: 'true' } }),
  ],
  [
    'an expression that says nothing',
    'R4 exp-1',
    'extension',
    extension({ valueExpression: { language: 'text/fhirpath' } }),
    invariant('exp-1', EXT),
  ],
  [
    'an expression without language',
    'R4 Expression.language 1..1',
    'extension',
    extension({ valueExpression: { expression: 'true' } }),
    structure(`${EXT}.language`),
  ],
  ['a code filter by path', 'R4 drq-1', 'extension', filter('codeFilter', { path: 'code' })],
  [
    'a code filter by path and search',
    'R4 drq-1',
    'extension',
    filter('codeFilter', { path: 'code', searchParam: 'code' }),
    invariant('drq-1', `${EXT}.codeFilter[0]`),
  ],
  [
    'a code filter by neither',
    'R4 drq-1',
    'extension',
    filter('codeFilter', { code: [{ code: 'a' }] }),
    invariant('drq-1', `${EXT}.codeFilter[0]`),
  ],
  [
    'a date filter by neither',
    'R4 drq-2',
    'extension',
    filter('dateFilter', { valueDateTime: '2026' }),
    invariant('drq-2', `${EXT}.dateFilter[0]`),
  ],
  ['a date filter by search', 'R4 drq-2', 'extension', filter('dateFilter', { searchParam: 'date' })],
])
