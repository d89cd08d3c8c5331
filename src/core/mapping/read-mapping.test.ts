import { describe, expect, it } from 'vitest'
import { shippedMappingFiles } from '../../../tests/support/shipped-mapping.ts'
import { readMapping } from './read-mapping.ts'

const SOUND = {
  name: 'tide-diary',
  title: 'A diary',
  input: { format: 'json' },
  kinds: [
    {
      name: 'entry',
      session: {
        subject: { from: '$.who' },
        arm: { from: '$.arm', codes: 'tide-arm' },
      },
      reading: {
        takenAt: { from: '$.at', time: 'RFC 3339' },
        systolic: { from: '$.upper' },
        diastolic: { from: '$.lower' },
      },
    },
  ],
}

const TABLE = {
  resourceType: 'ConceptMap',
  id: 'tide-arm',
  status: 'active',
  group: [
    {
      element: [
        { code: 'L', target: [{ code: 'left', equivalence: 'equal' }] },
        { code: 'R', target: [{ code: 'right', equivalence: 'equivalent' }] },
      ],
    },
  ],
}

function read(document: unknown, table: unknown = TABLE, schema: unknown = {}) {
  return readMapping({
    file: 'tide-diary.json',
    text: JSON.stringify(document, null, 2),
    conceptMaps: new Map([['tide-arm', JSON.stringify(table, null, 2)]]),
    recordSchemas: new Map([['tide.json', JSON.stringify(schema, null, 2)]]),
  })
}

/** Issues as `at: expected`. */
function refusals(...files: Parameters<typeof read>): readonly string[] {
  const result = read(...files)
  return result.ok ? [] : result.issues.map(({ at, expected }) => `${at}: ${expected}`)
}

const [KIND] = SOUND.kinds
const withKind = (more: object) => ({ ...SOUND, kinds: [{ ...KIND, ...more }] })
const withSession = (rules: object) => withKind({ session: { subject: { from: '$.who' }, ...rules } })
const withReading = (rules: object) => withKind({ reading: { ...KIND?.reading, ...rules } })

describe('a mapping', () => {
  it('is read when it is sound', () => {
    expect(refusals(SOUND)).toEqual([])
  })

  it('has a hash over itself and the files it names, and no others', () => {
    const files = shippedMappingFiles('open-mhealth')
    const hashOf = (change: Partial<typeof files>) => {
      const mapping = readMapping({ ...files, ...change })
      return mapping.ok ? mapping.value.sha256 : mapping.issues
    }
    const table = files.conceptMaps.get('open-mhealth-arm') ?? ''
    const more = new Map([...files.conceptMaps, ['open-mhealth-arm', `${table}\n`]])
    const other = new Map([...files.conceptMaps, ['another', '{}']])
    expect(hashOf({})).toMatch(/^[0-9a-f]{64}$/)
    expect(hashOf({ conceptMaps: more })).not.toBe(hashOf({}))
    expect(hashOf({ conceptMaps: other })).toBe(hashOf({}))
  })

  it('tells every fault at once, each with its line in the file', () => {
    const wrong = {
      ...withSession({ arm: { from: '$..arm' }, unit: { constant: 'psi' } }),
      unlisted: 'dropped',
    }
    const schema = read(wrong)
    expect(schema).toMatchObject({ ok: false, issues: [{ at: 'unlisted', mapping: 'tide-diary.json:35' }] })
    expect(read({ ...wrong, unlisted: 'told' })).toMatchObject({
      ok: false,
      issues: [
        { code: 'BAD_MAPPING', at: 'kinds[0].session.arm.from', mapping: 'tide-diary.json:15' },
        { code: 'BAD_MAPPING', at: 'kinds[0].session.unit.constant', mapping: 'tide-diary.json:18' },
      ],
    })
  })

  it('that is no JSON is told where', () => {
    const result = readMapping({ ...shippedMappingFiles('open-mhealth'), text: '{"name":}' })
    expect(result).toMatchObject({ ok: false, issues: [{ code: 'NOT_JSON', mapping: 'open-mhealth.json' }] })
  })

  it('that misspells a place is told which was meant', () => {
    const result = read(withReading({ sistolic: { from: '$.x' } }))
    expect(result).toMatchObject({
      ok: false,
      issues: [{ at: 'kinds[0].reading.sistolic', remedy: 'Did you mean `systolic`?' }],
    })
  })
})

describe('a mapping is refused for', () => {
  it.each([
    ['a name that is not its file’s', { ...SOUND, name: 'tide' }, 'name: the name of the file without .json'],
    ['an unknown key', { ...SOUND, script: 'x' }, 'script: no such key'],
    ['an unknown place', withSession({ weight: { from: '$.x' } }), 'kinds[0].session.weight: no such key'],
    [
      'a rule with two ways',
      withSession({ arm: { from: '$.x', constant: 'left' } }),
      'kinds[0].session.arm: exactly one of constant, from, column, columns, firstOf',
    ],
    [
      'a rule with none',
      withSession({ arm: {} }),
      'kinds[0].session.arm: exactly one of constant, from, column, columns, firstOf',
    ],
    [
      'descendants',
      withSession({ arm: { from: '$..arm' } }),
      'kinds[0].session.arm.from: no descendants (..): name each step',
    ],
    [
      'a function',
      withSession({ arm: { from: '$.a[?length(@.x) > 1]' } }),
      'kinds[0].session.arm.from: no function',
    ],
    [
      'a slice',
      withSession({ arm: { from: '$.a[0:1]' } }),
      'kinds[0].session.arm.from: names, positions and filters only: no slice',
    ],
    [
      'a wildcard in a rule',
      withSession({ arm: { from: '$.a[*]' } }),
      'kinds[0].session.arm.from: no wildcard, except in `records` and `each`',
    ],
    [
      'a tampering name',
      withSession({ arm: { from: '$.constructor.name' } }),
      'kinds[0].session.arm.from: no name that can tamper with objects',
    ],
    [
      'text that is no path',
      withSession({ arm: { from: '$.a[' } }),
      'kinds[0].session.arm.from: a JSONPath as RFC 9535 writes it',
    ],
    [
      'an item path outside of each',
      withSession({ arm: { from: '@.a' } }),
      'kinds[0].session.arm.from: a path from $: @ is for the items of each',
    ],
    [
      'columns in JSON',
      withSession({ arm: { column: 'Arm' } }),
      'kinds[0].session.arm.column: from with a JSONPath: only CSV has columns',
    ],
    [
      'a constant measurement',
      withReading({ pulse: { constant: 60 } }),
      'kinds[0].reading.pulse.constant: a value of the source: no measurement, time or id is the same for every record',
    ],
    [
      'a word that is none of ours',
      withSession({ unit: { constant: 'psi' } }),
      'kinds[0].session.unit.constant: one of mmHg, kPa',
    ],
    [
      'a constant where values are missing',
      withSession({ arm: { firstOf: [{ from: '$.a' }, { constant: 'left' }] } }),
      'kinds[0].session.arm.firstOf[1].constant: no such key',
    ],
    [
      'nothing for what is missing but a pressure',
      withReading({ pulse: { from: '$.p', mayBeAbsent: true } }),
      'kinds[0].reading.pulse.mayBeAbsent: mayBeAbsent at a pressure only; elsewhere what is not there is left out',
    ],
    [
      'a time without its form',
      withReading({ takenAt: { from: '$.at' } }),
      'kinds[0].reading.takenAt: time: how the source writes the time',
    ],
    ...['unix seconds', 5, { form: 'YYYY-MM-DD HH:mm' }].map((time): [string, unknown, string] => [
      `a time by ${JSON.stringify(time)}`,
      withReading({ takenAt: { from: '$.at', time } }),
      'kinds[0].reading.takenAt.time: RFC 3339, Unix seconds, Unix milliseconds, or an object of form and zone',
    ]),
    [
      'a year of two digits',
      withReading({
        takenAt: { from: '$.at', time: { form: 'DD.MM.YY HH:mm', zone: 'of-the-person' } },
      }),
      'kinds[0].reading.takenAt.time.form: a year of four digits, YYYY, written so by the source: two leave the century open',
    ],
    [
      'a path that is a number',
      withSession({ arm: { from: 5 } }),
      'kinds[0].session.arm.from: a JSONPath, or a list of one to five',
    ],
    [
      'a constant that is an object',
      withSession({ arm: { constant: {} } }),
      'kinds[0].session.arm.constant: a text, a number, true or false',
    ],
    [
      'a condition by null',
      withKind({ when: [{ from: '$.k', is: [null] }] }),
      'kinds[0].when[0].is[0]: a text, a number, true or false',
    ],
    [
      'a format nobody reads',
      { ...SOUND, input: { format: 'xml' } },
      'input.format: one of json, csv, fhir, hl7v2, bluetooth',
    ],
    [
      'a zone that does not exist',
      withReading({ takenAt: { from: '$.at', time: { form: 'YYYY-MM-DD HH:mm', zone: 'Europe/Atlantis' } } }),
      'kinds[0].reading.takenAt.time.zone: of-the-person, in-the-text or an IANA time zone',
    ],
    [
      'an offset that is not in the form',
      withReading({ takenAt: { from: '$.at', time: { form: 'YYYY-MM-DD HH:mm', zone: 'in-the-text' } } }),
      'kinds[0].reading.takenAt.time.zone: in-the-text where the form has an offset (Z), and only there',
    ],
    [
      'a table that is not there',
      withSession({ arm: { from: '$.a', codes: 'other' } }),
      'kinds[0].session.arm.codes: a code table that is in concept-maps/',
    ],
    [
      'a table for another place',
      withSession({ unit: { from: '$.a', codes: 'tide-arm' } }),
      'kinds[0].session.unit.codes: a code table whose targets are mmHg, kPa',
    ],
    [
      'a subject by a table',
      withSession({ subject: { from: '$.a', codes: 'tide-arm' } }),
      'kinds[0].session.subject.codes: codes at a place that takes a word, or true or false',
    ],
    [
      'no subject',
      withKind({ session: {} }),
      'kinds[0].session: a rule for the subject, or subjectBy: "sender"',
    ],
    [
      'a subject by two',
      { ...SOUND, subjectBy: 'sender' },
      'kinds[0].session.subject: no rule for the subject beside subjectBy',
    ],
    [
      'one pressure',
      withKind({ reading: { systolic: { from: '$.x' } } }),
      'kinds[0].reading: a rule for diastolic',
    ],
    [
      'a kind that hides another',
      { ...SOUND, kinds: [KIND, { ...KIND, name: 'other' }] },
      'kinds[0]: when, or to be the last: no kind after it can apply',
    ],
    [
      'two kinds of one name',
      { ...SOUND, kinds: [{ ...KIND, when: [{ from: '$.k', is: [1] }] }, KIND] },
      'kinds[1].name: each name once',
    ],
    [
      'a condition with two tests',
      withKind({ refuse: [{ from: '$.x', is: [1], present: true, because: 'it is' }] }),
      'kinds[0].refuse[0]: exactly one of is, isNot, present',
    ],
    [
      'a kind that completes with pressures',
      withKind({ session: { subject: { from: '$.who' } }, completes: true }),
      'kinds[0].reading.systolic: no pressure: what completes a reading has none',
    ],
    [
      'rules of a kind that is skipped',
      withKind({ skip: true }),
      'kinds[0].reading: nothing else of a kind that is skipped',
    ],
    [
      'each without reading',
      withKind({ reading: undefined, readings: { each: '$.r[*]' } }),
      'kinds[0].readings: each with reading, or sets',
    ],
    [
      'a schema that is not there',
      withKind({ recordSchema: 'other.json' }),
      'kinds[0].recordSchema: a file that is in record-schemas/',
    ],
    [
      'records in another format',
      { ...SOUND, input: { format: 'fhir' }, records: '$.entry[*]' },
      'records: records with format json only',
    ],
  ])('%s', (_what, document, told) => {
    expect(refusals(document)).toContain(told)
  })
})

describe('a code table is refused for', () => {
  const element = (target: readonly object[]) => ({ ...TABLE, group: [{ element: [{ code: 'L', target }] }] })
  const left = { code: 'left', equivalence: 'equal' }
  it.each([
    [
      'what means less',
      element([{ ...left, equivalence: 'wider' }]),
      'group[0].element[0].target[0].equivalence: equal or equivalent: what means more or less is not the same',
    ],
    [
      'two targets',
      element([left, { ...left, code: 'right' }]),
      'group[0].element[0].target: one target: a code with none or several cannot be taken without guessing',
    ],
    [
      'no target',
      element([]),
      'group[0].element[0].target: one target: a code with none or several cannot be taken without guessing',
    ],
    [
      'a code twice',
      { ...TABLE, group: [...TABLE.group, ...element([left]).group] },
      'group[1].element[0].code: each code once',
    ],
    [
      'a word for what is not listed',
      { ...TABLE, group: [{ ...TABLE.group[0], unmapped: { mode: 'fixed', code: 'left' } }] },
      'group[0].unmapped: no word for codes that are not listed: such a record is refused',
    ],
    ['another id', { ...TABLE, id: 'other' }, 'id: the name of the file without .json: tide-arm'],
    ['another resource', { ...TABLE, resourceType: 'CodeSystem' }, 'resourceType: one of "ConceptMap"'],
  ])('%s', (_what, table, told) => {
    expect(refusals(SOUND, table)).toEqual([told])
  })

  it('any of it, at its own file and line', () => {
    const result = read(SOUND, element([left, left]))
    expect(result).toMatchObject({ ok: false, issues: [{ mapping: 'concept-maps/tide-arm.json:10' }] })
  })
})

describe('a record schema is refused for', () => {
  const named = withKind({ recordSchema: 'tide.json' })
  const looped = { $defs: { a: { items: { $ref: '#/$defs/b' } }, b: { $ref: '#/$defs/a' } } }
  it.each([
    [
      'a pattern',
      { properties: { a: { pattern: '(a+)+$' } } },
      ['properties.a.pattern: no such keyword in a record schema'],
    ],
    ['items that must differ', { uniqueItems: true }, ['uniqueItems: no such keyword in a record schema']],
    [
      'a reference elsewhere',
      { $ref: 'https://example.org/schema' },
      ['$ref: a reference to a definition in this file: #/$defs/…'],
    ],
    [
      'a definition that is not there',
      { $ref: '#/$defs/a' },
      ['$ref: a reference to a definition in this file: #/$defs/…'],
    ],
    [
      'definitions that lead back',
      looped,
      [
        '$defs.a: a definition that does not lead back to itself',
        '$defs.b: a definition that does not lead back to itself',
      ],
    ],
    ['a list', [], [': a JSON Schema object']],
  ])('%s', (_what, schema, told) => {
    expect(refusals(named, TABLE, schema)).toEqual(told)
  })

  it('a keyword with the wrong value', () => {
    expect(refusals(named, TABLE, { minLength: 'one' })).toEqual(['minLength: a value of type integer'])
  })

  it('nothing, when a property has the name of a refused keyword', () => {
    expect(refusals(named, TABLE, { properties: { pattern: { type: 'string' } } })).toEqual([])
  })
})
