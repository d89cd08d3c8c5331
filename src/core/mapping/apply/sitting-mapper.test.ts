import { describe, expect, it } from 'vitest'
import { outcomesOf } from '../../../../tests/support/shipped-mapping.ts'
import type { Mapping } from '../mapping.ts'
import { readMapping } from '../read-mapping.ts'
import { SittingMapper } from './sitting-mapper.ts'

const RULES = {
  takenAt: { column: 'when', time: { form: 'YYYY-MM-DD HH:mm', zone: 'of-the-person' } },
  systolic: { column: 'upper', number: { decimalMark: '.' }, mayBeAbsent: true },
  diastolic: { column: 'lower', number: { decimalMark: '.' }, mayBeAbsent: true },
}

function mappingOf(more: object, kind: object = {}): Mapping {
  const document = {
    name: 'rows',
    title: 'Rows',
    input: { format: 'csv', delimiter: ',' },
    kinds: [
      {
        name: 'pulse',
        when: [{ column: 'kind', is: ['pulse'] }],
        session: { subject: { column: 'who' } },
        reading: { takenAt: RULES.takenAt, pulse: { column: 'upper', number: { decimalMark: '.' } } },
        completes: true,
      },
      {
        name: 'row',
        session: {
          subject: { column: 'who' },
          arm: { firstOf: [{ column: 'arm' }, { column: 'side' }] },
          note: { column: 'note' },
        },
        reading: RULES,
        ...kind,
      },
    ],
    ...more,
  }
  const read = readMapping({
    file: 'rows.json',
    text: JSON.stringify(document),
    conceptMaps: new Map(),
    recordSchemas: new Map(),
  })
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
}

const gathering = mappingOf({ sittings: { gapMinutes: 30 } })

const row = (when: string, upper: string, lower: string, more: object = {}) => ({
  kind: 'row',
  who: 'HW-1001',
  when: `2026-03-02 ${when}`,
  upper,
  lower,
  arm: 'left',
  note: '',
  ...more,
})
const pulse = (when: string, beats: string, more: object = {}) =>
  row(when, beats, '', { kind: 'pulse', ...more })

/** Each sitting as its systolic pressures with pulses; what is refused as its code. */
function told(values: readonly unknown[], mapping = gathering): readonly string[] {
  return outcomesOf(mapping, values).map((outcome) => {
    if (outcome.kind === 'skipped' || outcome.kind === 'withdrawal') return outcome.kind
    if (outcome.kind === 'refused') return outcome.issues.map(({ code }) => code).join()
    const readings = outcome.sitting.record.readings as readonly { systolic: number | null; pulse?: number }[]
    return readings
      .map((one) => (one.pulse === undefined ? `${one.systolic}` : `${one.systolic}@${one.pulse}`))
      .join(' ')
  })
}

describe('neighbouring rows', () => {
  it('are one sitting while each is near the one before it', () => {
    expect(told([row('07:00', '131', '84'), row('07:30', '128', '82'), row('08:01', '126', '80')])).toEqual([
      '131 128',
      '126',
    ])
  })

  it('are each one where the mapping does not gather', () => {
    expect(told([row('07:00', '131', '84'), row('07:01', '128', '82')], mappingOf({}))).toEqual([
      '131',
      '128',
    ])
  })

  it('come in the order they were taken, also from a source with the newest first', () => {
    const newestFirst = [
      row('07:02', '126', '80'),
      row('07:01', '128', '82'),
      row('07:01', '130', '83'),
      row('07:00', '131', '84'),
    ]
    expect(told(newestFirst)).toEqual(['131 130 128 126'])
  })

  it.each([
    ['another subject', { who: 'HW-1002' }],
    ['another arm', { arm: 'right' }],
    ['an arm that is not said', { arm: '' }],
  ])('with %s are another sitting', (_what, more) => {
    expect(told([row('07:00', '131', '84'), row('07:01', '128', '82', more)])).toEqual(['131', '128'])
  })

  it('that say the same are one reading, and told', () => {
    const outcomes = outcomesOf(gathering, [
      row('07:00', '131', '84'),
      row('07:01', '128', '82'),
      row('07:00', '131', '84'),
    ])
    expect(outcomes).toMatchObject([
      {
        sitting: {
          record: { readings: [{ systolic: 131 }, { systolic: 128 }] },
          sources: [{ line: 1 }, { line: 2 }, { line: 3 }],
          remarks: [
            {
              code: 'DUPLICATE_ROW',
              severity: 'information',
              at: 'readings[0]',
              line: 3,
              expected: 'each reading once: line 1 and line 3 say the same',
            },
          ],
        },
      },
    ])
  })

  it('that take the same reading back twice are told of no reading that is not there', () => {
    const takingBack = mappingOf(
      { sittings: { gapMinutes: 30 } },
      { withdraws: [{ column: 'kind', is: ['gone'] }] },
    )
    const gone = row('07:00', '131', '84', { kind: 'gone' })
    expect(outcomesOf(takingBack, [gone, row('07:01', '128', '82'), gone])).toMatchObject([
      {
        sitting: {
          record: { readings: [{ systolic: 128 }] },
          remarks: [{ code: 'DUPLICATE_ROW', at: 'readings', line: 3 }],
        },
      },
    ])
  })

  it('keep every note, each once', () => {
    const rows = ['calm', 'gale', 'calm'].map((note, index) =>
      row(`07:0${index}`, `13${index}`, '84', { note }),
    )
    expect(outcomesOf(gathering, rows)).toMatchObject([{ sitting: { record: { note: 'calm\ngale' } } }])
  })

  it('get the same id however often and with whatever follows they come', () => {
    const idOf = (...rows: readonly unknown[]) => {
      const [outcome] = outcomesOf(gathering, rows)
      return outcome?.kind === 'sitting' ? outcome.sitting.record.id : undefined
    }
    const first = row('07:00', '131', '84')
    expect(idOf(first)).toMatch(/^[0-9a-f-]{36}$/)
    expect(idOf(first, row('07:01', '128', '82'))).toBe(idOf(first))
    expect(idOf(row('07:01', '128', '82'), first)).toBe(idOf(first))
    expect(idOf(row('07:01', '131', '84'))).not.toBe(idOf(first))
    expect(idOf({ ...first, who: 'HW-1002' })).not.toBe(idOf(first))
  })

  it('beyond what a session record holds are refused, each', () => {
    const rows = Array.from({ length: 52 }, (_, index) => row('07:00', String(100 + index), '60'))
    expect(told(rows).slice(0, 2)).toEqual(['TOO_MANY', 'TOO_MANY'])
    expect(told(rows)).toHaveLength(3)
  })

  it('come out as soon as their sitting is closed', () => {
    const mapper = new SittingMapper(gathering)
    const take = (value: object) => mapper.take({ value, text: '' }).map(({ kind }) => kind)
    expect(take(row('07:00', '131', '84'))).toEqual([])
    expect(take(row('09:00', '131', '84'))).toEqual(['sitting'])
    expect(mapper.end().map(({ kind }) => kind)).toEqual(['sitting'])
    expect(mapper.end()).toEqual([])
  })
})

describe('a row that completes a reading', () => {
  it.each([
    ['after it', [row('07:00', '131', '84'), pulse('07:00', '67')], ['131@67']],
    ['before it', [pulse('07:00', '67'), row('07:00', '131', '84')], ['131@67']],
    [
      'among others',
      [row('07:00', '131', '84'), row('07:01', '128', '82'), pulse('07:00', '67'), pulse('07:01', '66')],
      ['131@67 128@66'],
    ],
    ['of another moment', [row('07:00', '131', '84'), pulse('07:01', '67')], ['131', 'NOTHING_TO_COMPLETE']],
    [
      'of another subject',
      [row('07:00', '131', '84'), pulse('07:00', '67', { who: 'HW-1002' })],
      ['131', 'NOTHING_TO_COMPLETE'],
    ],
    ['alone', [pulse('07:00', '67')], ['NOTHING_TO_COMPLETE']],
    [
      'that has another value',
      [row('07:00', '131', '84'), pulse('07:00', '67'), pulse('07:00', '68')],
      ['NOTHING_TO_COMPLETE', '131@67'],
    ],
    [
      'of which there are two',
      [row('07:00', '131', '84'), row('07:00', '130', '84'), pulse('07:00', '67')],
      ['NOTHING_TO_COMPLETE', '131 130'],
    ],
  ])('%s', (_where, rows, outcomes) => {
    expect(told(rows)).toEqual(outcomes)
  })

  it('completes where nothing is gathered, too', () => {
    expect(
      told([row('07:00', '131', '84'), pulse('07:00', '67'), row('07:01', '128', '82')], mappingOf({})),
    ).toEqual(['131@67', '128'])
  })

  it('waits with few others only', () => {
    const waiting = Array.from({ length: 51 }, (_, index) =>
      pulse(`0${Math.floor(index / 10)}:0${index % 10}`, '67'),
    )
    const mapper = new SittingMapper(gathering)
    const early = waiting.flatMap((value) => mapper.take({ value, text: '' }))
    expect(early).toMatchObject([{ kind: 'refused', issues: [{ code: 'NOTHING_TO_COMPLETE' }] }])
    expect(mapper.end()).toHaveLength(50)
  })
})

describe('a row with several readings', () => {
  const set = (n: number) => ({
    takenAt: { columns: ['day', `time${n}`], time: { form: 'YYYY-MM-DD HH:mm', zone: 'Europe/Berlin' } },
    systolic: { column: `upper${n}`, number: { decimalMark: '.' } },
    diastolic: { column: `lower${n}`, number: { decimalMark: '.' } },
  })
  const wide = mappingOf({}, { reading: undefined, readings: { sets: [set(1), set(2)] } })
  const cells = {
    kind: 'row',
    who: 'HW-1001',
    arm: 'left',
    note: '',
    day: '2026-03-02',
    time1: '07:00',
    upper1: '131',
    lower1: '84',
    time2: '',
    upper2: '',
    lower2: '',
  }

  it('leaves out a set nobody filled', () => {
    expect(outcomesOf(wide, [cells])).toMatchObject([
      {
        sitting: {
          record: { readings: [{ takenAt: '2026-03-02T07:00:00+01:00', systolic: 131, diastolic: 84 }] },
        },
      },
    ])
    expect(told([{ ...cells, time2: '07:02', upper2: '128', lower2: '82' }], wide)).toEqual(['131 128'])
  })

  it.each([
    ['of which only a part of the time is there', { time1: '' }, 'MISSING_KEY'],
    ['none of which is filled', { upper1: '', lower1: '' }, 'MISSING_KEY'],
    ['in the hour the clock was set forward', { day: '2026-03-29', time1: '02:30' }, 'BAD_TIME'],
    ['in the hour the clock showed twice', { day: '2026-10-25', time1: '02:30' }, 'TIME_NEEDS_OFFSET'],
  ])('%s is refused', (_what, more, code) => {
    expect(told([{ ...cells, ...more }], wide)).toEqual([code])
  })

  it('is refused when the file does not have a column', () => {
    const { lower1: _lower1, ...without } = cells
    expect(outcomesOf(wide, [without])).toMatchObject([{ issues: [{ code: 'MISSING_KEY', from: 'lower1' }] }])
  })
})
