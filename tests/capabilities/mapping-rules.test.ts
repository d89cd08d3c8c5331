import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ignoredOf } from '../../src/core/mapping/apply/ignored-of.ts'
import { recordsOf } from '../../src/core/mapping/apply/records-of.ts'
import { translateIssues } from '../../src/core/mapping/apply/translate-issue.ts'
import type { Mapping } from '../../src/core/mapping/mapping.ts'
import { readMapping } from '../../src/core/mapping/read-mapping.ts'
import { readSession } from '../../src/core/record/read-session.ts'
import { outcomesOf, shippedMapping, shippedMappings } from '../support/shipped-mapping.ts'

/** An invented format: a lighthouse keeper's log, in which nothing is called what we call it. */
const LOG = JSON.stringify({
  keeper: { berth: 'HW-1003', cuff: { on: 'port' } },
  watches: [
    {
      began: '02.03.2026 06:41',
      marks: [
        { top: '131,5', bottom: '84', beats: 67, wobble: 'n' },
        { top: '128', bottom: '-', wobble: 'y' },
      ],
      weather: 'fog',
    },
    { began: '02.03.2026 20:15', marks: [{ top: '126', bottom: '80', wobble: 'n' }] },
  ],
})

/** One record of the log, as the mapping's `records` would find it. */
const LOG_MAPPING = {
  name: 'keepers-log',
  title: 'The log of a keeper',
  input: { format: 'json' },
  records: '$.watches[*]',
  kinds: [
    { name: 'drill', when: [{ from: '$.drill', is: [true] }], skip: true },
    {
      name: 'watch',
      session: {
        subject: { from: '$.berth' },
        setting: { constant: 'home' },
        unit: { constant: 'mmHg' },
        entry: { constant: 'typed' },
        arm: { firstOf: [{ from: '$.arm' }, { from: '$.side', codes: 'keepers-side' }] },
      },
      readings: {
        each: '$.marks[*]',
        reading: {
          takenAt: { from: '$.began', time: { form: 'DD.MM.YYYY HH:mm', zone: 'of-the-person' } },
          systolic: { from: '@.top', number: { decimalMark: ',' }, absent: ['-'], mayBeAbsent: true },
          diastolic: { from: '@.bottom', number: { decimalMark: ',' }, absent: ['-'], mayBeAbsent: true },
          pulse: { from: '@.beats' },
          'monitorSays.bodyMovement': { from: '@.wobble', codes: 'keepers-yes' },
        },
      },
    },
  ],
}

const table = (id: string, pairs: Readonly<Record<string, string>>) =>
  [
    id,
    JSON.stringify({
      resourceType: 'ConceptMap',
      id,
      status: 'active',
      group: [
        {
          element: Object.entries(pairs).map(([code, word]) => ({
            code,
            target: [{ code: word, equivalence: 'equivalent' }],
          })),
        },
      ],
    }),
  ] as const

function mappingOf(document: { readonly name: string }): Mapping {
  const read = readMapping({
    file: `${document.name}.json`,
    text: JSON.stringify(document, null, 2),
    conceptMaps: new Map([
      table('keepers-side', { port: 'left', starboard: 'right' }),
      table('keepers-yes', { y: 'true', n: 'false' }),
    ]),
    recordSchemas: new Map(),
  })
  if (!read.ok) throw new Error(JSON.stringify(read.issues, null, 1))
  return read.value
}

const log = mappingOf(LOG_MAPPING)
const watch = (more: object = {}) => ({
  berth: 'HW-1003',
  side: 'port',
  began: '02.03.2026 06:41',
  marks: [{ top: '131,5', bottom: '84', beats: 67, wobble: 'n' }],
  ...more,
})

function sittingsOf(mapping: Mapping, values: readonly unknown[]) {
  return outcomesOf(mapping, values).map((outcome) => {
    if (outcome.kind !== 'sitting') throw new Error(JSON.stringify(outcome))
    return outcome.sitting
  })
}

/** Issues of records that are refused. */
function issuesOf(mapping: Mapping, ...values: readonly unknown[]) {
  return outcomesOf(mapping, values).flatMap((outcome) => (outcome.kind === 'refused' ? outcome.issues : []))
}

describe('a format nobody told us of', () => {
  it('comes in by a mapping alone, and is read as any native record', () => {
    const [sitting] = sittingsOf(log, [
      watch({ marks: [...watch().marks, { top: '128', bottom: '-', wobble: 'y' }] }),
    ])
    expect(sitting?.record).toEqual({
      id: expect.stringMatching(/^[0-9a-f-]{36}$/),
      subject: 'HW-1003',
      takenAt: '2026-03-02T06:41:00',
      setting: 'home',
      arm: 'left',
      unit: 'mmHg',
      entry: 'typed',
      readings: [
        {
          takenAt: '2026-03-02T06:41:00',
          systolic: 131.5,
          diastolic: 84,
          pulse: 67,
          monitorSays: { bodyMovement: false },
        },
        {
          takenAt: '2026-03-02T06:41:00',
          systolic: 128,
          diastolic: null,
          monitorSays: { bodyMovement: true },
        },
      ],
    })
    expect(JSON.parse(sitting?.text ?? '')).toEqual(sitting?.record)
    expect(readSession(sitting?.record, { zone: 'Europe/Berlin' }).ok).toBe(true)
  })

  it('has its records found in a document, each with its text and place', () => {
    const records = recordsOf(log, LOG, JSON.parse(LOG))
    expect(records.map(({ path }) => path)).toEqual(["$['watches'][0]", "$['watches'][1]"])
    for (const { text, value } of records) {
      expect(LOG).toContain(text)
      expect(JSON.parse(text)).toEqual(value)
    }
  })

  it('says of each value by which rule it came, and from where', () => {
    const [sitting] = sittingsOf(log, [watch()])
    expect(sitting?.origins.get('readings[0].systolic')).toMatchObject({
      rule: '/kinds/1/readings/reading/systolic',
      how: 'number',
      from: [{ line: 1, path: "$['marks'][0]['top']" }],
    })
    expect(sitting?.origins.get('arm')).toMatchObject({ how: 'code-table', from: [{ path: "$['side']" }] })
    expect(sitting?.origins.get('unit')).toMatchObject({ how: 'constant', from: [] })
    expect(sitting?.origins.get('id')).toMatchObject({ how: 'made' })
    expect([...(sitting?.unfilled.keys() ?? [])]).toEqual([])
  })

  it('has what the native reader refuses told at its own place', () => {
    const [sitting] = sittingsOf(log, [watch({ marks: [{ top: '84', bottom: '131', wobble: 'n' }] })])
    if (sitting === undefined) throw new Error('no sitting')
    const read = readSession(sitting.record, { zone: 'Europe/Berlin' })
    expect(read.ok ? [] : translateIssues(read.issues, sitting)).toMatchObject([
      {
        code: 'NOT_A_MEASUREMENT',
        at: 'readings[0]',
        line: 1,
        from: "$['marks'][0]['top'], $['marks'][0]['bottom']",
      },
    ])
  })

  it('has an absent value told where it would stand', () => {
    const [sitting] = sittingsOf(log, [watch({ began: null })])
    if (sitting === undefined) throw new Error('no sitting')
    const read = readSession(sitting.record, {})
    const told = read.ok ? [] : translateIssues(read.issues, sitting)
    expect(told).toContainEqual(expect.objectContaining({ code: 'MISSING_KEY', at: 'takenAt' }))
  })

  it('has what no rule reads told', () => {
    const value = watch({ weather: 'fog', marks: [{ top: '128', bottom: '80', ink: 'blue' }], mood: null })
    expect(ignoredOf(log, { value, text: '' })).toEqual(["$['marks'][0]['ink']", "$['weather']"])
  })

  it('may be refused for what no rule reads', () => {
    const strict = mappingOf({ ...LOG_MAPPING, unlisted: 'refused' } as typeof LOG_MAPPING)
    expect(issuesOf(strict, watch({ weather: 'fog' }))).toMatchObject([
      { code: 'UNKNOWN_KEY', from: "$['weather']" },
    ])
    expect(issuesOf(strict, watch())).toEqual([])
  })

  it('has records left out only where the mapping says so', () => {
    expect(outcomesOf(log, [{ drill: true }])).toMatchObject([{ kind: 'skipped' }])
  })
})

describe('a record is refused', () => {
  it.each([
    ['without a subject', { berth: null }, 'MISSING_KEY', "$['berth']"],
    ['with a number for a subject', { berth: 1003 }, 'WRONG_TYPE', "$['berth']"],
    ['with a code the table does not have', { side: 'bow' }, 'NOT_A_CHOICE', "$['side']"],
    ['with a time in another form', { began: '2026-03-02 06:41' }, 'BAD_TIME', "$['began']"],
    ['with a day that does not exist', { began: '31.02.2026 06:41' }, 'BAD_TIME', "$['began']"],
    [
      'with another decimal mark',
      { marks: [{ top: '131.5', bottom: '84' }] },
      'OUT_OF_RANGE',
      "$['marks'][0]['top']",
    ],
    [
      'with a text where a number is',
      { marks: [{ top: '131', bottom: '84', beats: '67' }] },
      'WRONG_TYPE',
      "$['marks'][0]['beats']",
    ],
    [
      'with an object where a text is',
      { marks: [{ top: { mmHg: 131 }, bottom: '84' }] },
      'WRONG_TYPE',
      "$['marks'][0]['top']",
    ],
    ['without a reading', { marks: [] }, 'MISSING_KEY', undefined],
    [
      'with more readings than a day has',
      { marks: Array.from({ length: 301 }, () => ({})) },
      'TOO_MANY',
      '$.marks[*]',
    ],
  ])('%s', (_what, more, code, from) => {
    const issues = issuesOf(log, watch(more))
    expect(issues).toMatchObject([
      { code, line: 1, mapping: expect.stringMatching(/^keepers-log\.json:\d+$/) },
    ])
    expect(issues[0]?.from).toBe(from)
  })

  it('with all that is wrong told at once, and no value of it', () => {
    const secret = {
      berth: 90871,
      side: 'CANARY',
      began: 'CANARY',
      marks: [{ top: 'CANARY', bottom: 90871, beats: 'CANARY' }],
    }
    const issues = issuesOf(log, secret)
    expect(issues.map(({ at }) => at)).toEqual([
      'subject',
      'arm',
      'readings[0].takenAt',
      'readings[0].systolic',
      'readings[0].pulse',
    ])
    expect(JSON.stringify(issues)).not.toMatch(/CANARY|90871/)
  })

  it('when a path finds several values', () => {
    const filtered = mappingOf({
      ...LOG_MAPPING,
      kinds: [
        {
          ...LOG_MAPPING.kinds[1],
          session: { ...LOG_MAPPING.kinds[1]?.session, note: { from: '$.notes[?@.kind == "own"].text' } },
        },
      ],
    } as typeof LOG_MAPPING)
    const note = (text: string, kind = 'own') => ({ kind, text })
    const [sitting] = sittingsOf(filtered, [watch({ notes: [note('calm'), note('gale', 'other')] })])
    expect(sitting?.record.note).toBe('calm')
    expect(issuesOf(filtered, watch({ notes: [note('calm'), note('gale')] }))).toMatchObject([
      { code: 'MANY_VALUES', at: 'note', from: "$['notes'][0]['text']" },
    ])
  })
})

describe('any JSON through any mapping that ships', () => {
  it.each([...shippedMappings(), 'keepers-log'])(
    '%s neither throws nor keeps what it does not know',
    (name) => {
      const mapping = name === 'keepers-log' ? log : shippedMapping(name)
      const odd = fc.constantFrom(
        '__proto__',
        'constructor',
        'prototype',
        'toString',
        'hasOwnProperty',
        'header',
        'marks',
      )
      const anything = fc.oneof(
        fc.jsonValue(),
        fc.dictionary(fc.oneof(odd, fc.string()), fc.jsonValue()),
        fc.record(
          {
            berth: fc.jsonValue(),
            marks: fc.array(fc.jsonValue()),
            began: fc.string(),
            side: fc.jsonValue(),
          },
          { requiredKeys: [] },
        ),
      )
      fc.assert(
        fc.property(fc.array(anything, { maxLength: 5 }), (values) => {
          const outcomes = outcomesOf(mapping, values)
          const seen = outcomes.flatMap((outcome) =>
            outcome.kind === 'sitting' ? outcome.sitting.sources : outcome.sources,
          )
          expect(seen).toHaveLength(values.length)
          for (const value of values) ignoredOf(mapping, { value, text: '' })
          expect(Object.keys(Object.prototype)).toEqual([])
        }),
      )
    },
  )
})
