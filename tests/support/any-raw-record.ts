import fc from 'fast-check'
import type { RawRecord } from './raw-record.ts'

/** Any valid session record, each time with its offset. */
export function anyRawRecord(): fc.Arbitrary<RawRecord> {
  return fc.oneof({ arbitrary: anySitting(), weight: 4 }, { arbitrary: anyRecording(), weight: 1 })
}

/** A 24-hour recording: a sitting of its own setting, with attempts and a night or without. */
function anyRecording(): fc.Arbitrary<RawRecord> {
  const extra = fc.record(
    { attempts: fc.integer({ min: 6, max: 1000 }), sleep: night() },
    { requiredKeys: [] },
  )
  return fc
    .tuple(anySitting(), extra)
    .map(([record, added]) => ({ ...record, setting: 'ambulatory', ...added }))
}

const night = () =>
  fc
    .tuple(time(), time())
    .filter(([from, to]) => Date.parse(from) !== Date.parse(to))
    .map(([from, to]) => (Date.parse(from) < Date.parse(to) ? { from, to } : { from: to, to: from }))

function anySitting(): fc.Arbitrary<RawRecord> {
  return fc.constantFrom('mmHg', 'kPa').chain((unit) =>
    fc.record(
      {
        id: name(),
        subject: name(),
        takenAt: time(),
        timeFrom: fc.constant('receipt'),
        setting: fc.constantFrom('home', 'clinic', 'public-kiosk', 'ambulatory'),
        position: fc.constantFrom('sitting', 'standing', 'lying', 'semi-recumbent'),
        arm: fc.constantFrom('left', 'right'),
        site: fc.constantFrom('upper-arm', 'wrist'),
        readings: fc.array(reading(unit), { minLength: 1, maxLength: 6 }),
        unit: fc.constant(unit),
        entry: fc.constantFrom('transferred', 'typed'),
        conditions: conditions(),
        device: device(),
        note: fc.stringMatching(/^[ -~\n]{1,40}$/),
      },
      { requiredKeys: [...REQUIRED] },
    ),
  )
}

const REQUIRED = ['id', 'subject', 'takenAt', 'setting', 'readings', 'unit', 'entry'] as const

const name = () =>
  fc.stringMatching(/^[!-~]([ -~]{0,20}[!-~])?$/).filter((text) => text !== '.' && text !== '..')

const time = () =>
  fc
    .tuple(
      fc.date({
        min: new Date('1990-01-02T00:00:00Z'),
        max: new Date('2100-12-30T00:00:00Z'),
        noInvalidDate: true,
      }),
      fc.constantFrom('Z', '+00:00', '-07:00', '+05:45', '+14:00'),
    )
    .map(([date, offset]) => `${date.toISOString().slice(0, 19)}${offset}`)

/** Whole steps of a unit: tenths of a mmHg, thousandths of a kPa. Bounds in whole mmHg and whole kPa. */
const BOUNDS = {
  mmHg: { steps: 10, systolic: [40, 300], diastolic: [20, 200] },
  kPa: { steps: 1000, systolic: [6, 39], diastolic: [3, 26] },
} as const

function reading(unit: 'mmHg' | 'kPa'): fc.Arbitrary<RawRecord> {
  return pressures(unit).chain(([systolic, diastolic]) =>
    fc.record(
      {
        takenAt: time(),
        systolic: fc.constant(systolic),
        diastolic: fc.constant(diastolic),
        pulse: fc.integer({ min: 20, max: 300 }),
        monitorSays: flags('bodyMovement', 'cuffTooLoose', 'irregularPulse', 'improperPosition'),
      },
      { requiredKeys: ['systolic', 'diastolic'] },
    ),
  )
}

type Pressures = readonly [systolic: number | null, diastolic: number | null]

function pressures(unit: 'mmHg' | 'kPa'): fc.Arbitrary<Pressures> {
  const { steps, systolic, diastolic } = BOUNDS[unit]
  const between = ([low, high]: readonly [number, number]) =>
    fc.integer({ min: low * steps, max: high * steps }).map((count) => count / steps)
  const both: fc.Arbitrary<Pressures> = fc
    .tuple(between(systolic), between(diastolic))
    .filter(([high, low]) => high > low)
  return fc.oneof(
    { arbitrary: both, weight: 8 },
    { arbitrary: between(systolic).map((value): Pressures => [value, null]), weight: 1 },
    { arbitrary: between(diastolic).map((value): Pressures => [null, value]), weight: 1 },
  )
}

function conditions(): fc.Arbitrary<RawRecord> {
  const centimetres = (min: number, max: number) =>
    fc.integer({ min: min * 2, max: max * 2 }).map((n) => n / 2)
  const minutes = fc.option(fc.nat(525_600))
  const since = { caffeine: minutes, nicotine: minutes, alcohol: minutes, exercise: minutes, meal: minutes }
  const other = fc.record(
    {
      restMinutes: fc.nat(1440),
      cuffHeight: fc.record({ relativeToHeartCm: centimetres(-100, 100) }),
      cuffOver: fc.constantFrom('bare-arm', 'thin-sleeve', 'thick-sleeve'),
      cuffFor: fc.record({ minCm: centimetres(5, 40), maxCm: centimetres(41, 100) }),
      cuffEdgeAboveElbowCm: centimetres(-20, 40),
      fingersUnderCuff: fc.nat(10),
      minutesSince: fc.record(since, { requiredKeys: [] }),
      medication: fc.constantFrom('before', 'after'),
      armRest: fc.constant('lap'),
    },
    { requiredKeys: [] },
  )
  const said = flags(
    'backSupported',
    'feetFlat',
    'legsCrossed',
    'armSupported',
    'talking',
    'moving',
    'bladderFull',
    'pain',
    'cold',
  )
  return fc.tuple(said, other).map(([first, second]) => ({ ...first, ...second }))
}

function device(): fc.Arbitrary<RawRecord> {
  const kind = fc.constantFrom('upper-arm-automatic', 'wrist-automatic', 'upper-arm-manual')
  return fc.record({ manufacturer: name(), model: name(), serial: name(), kind }, { requiredKeys: [] })
}

function flags(...keys: readonly string[]): fc.Arbitrary<RawRecord> {
  const model: Record<string, fc.Arbitrary<unknown>> = Object.fromEntries(
    keys.map((key) => [key, fc.boolean()]),
  )
  return fc.record(model, { requiredKeys: [] })
}
