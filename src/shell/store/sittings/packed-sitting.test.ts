import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { MARK } from '../../../core/clinical/averaging/reading-columns.ts'
import {
  hasReadingBetween,
  PACKED,
  PackedNumbers,
  packedMarks,
  packedSittingMs,
  packSitting,
} from './packed-sitting.ts'
import type { PlacedSitting } from './placed-sitting.ts'

const step = fc.option(fc.integer({ min: 0, max: 40_000 }), { nil: null })
/** Every bit that `MARK` may have. */
const ALL_MARKS = 255 | MARK.armNotStated | MARK.siteNotStated | MARK.standing | MARK.lying
/** 1990 to 2100. */
const moment = fc.integer({ min: 631_152_000_000, max: 4_133_980_800_000 })

const anySitting: fc.Arbitrary<PlacedSitting> = fc
  .record({
    takenMs: moment,
    marks: fc.integer({ min: 0, max: ALL_MARKS }).map((bits) => bits & ALL_MARKS),
    unit: fc.constantFrom('mmHg', 'kPa'),
    positionStated: fc.boolean(),
    readings: fc.array(
      fc.record({
        takenMs: moment,
        ownTime: fc.boolean(),
        systolic: step,
        diastolic: step,
        pulse: fc.option(fc.integer({ min: 20, max: 300 }), { nil: null }),
        irregular: fc.boolean(),
      }),
      { maxLength: 300 },
    ),
  })
  .map((sitting) => {
    const times =
      sitting.readings.length === 0 ? [sitting.takenMs] : sitting.readings.map((one) => one.takenMs)
    return { ...sitting, firstMs: Math.min(...times), lastMs: Math.max(...times) }
  })

/** What the text says, by the format's description. */
function unpack(numbers: PackedNumbers): PlacedSitting {
  const absent = (packed: number) => (packed === 0 ? null : packed - 1)
  const firstMs = numbers.next()
  const flags = numbers.next()
  const takenMs = firstMs + numbers.nextSigned()
  const readings = Array.from({ length: numbers.next() }, () => {
    const own = numbers.next()
    return {
      takenMs: firstMs + numbers.next(),
      ownTime: (own & PACKED.sittingTime) === 0,
      systolic: absent(numbers.next()),
      diastolic: absent(numbers.next()),
      pulse: absent(numbers.next()),
      irregular: (own & PACKED.irregularReading) !== 0,
    }
  })
  const times = readings.length === 0 ? [firstMs] : readings.map((one) => one.takenMs)
  return {
    takenMs,
    firstMs,
    lastMs: Math.max(...times),
    marks: flags & ALL_MARKS,
    unit: (flags & PACKED.kPa) === 0 ? 'mmHg' : 'kPa',
    positionStated: (flags & PACKED.positionNotStated) === 0,
    readings,
  }
}

describe('a packed sitting', () => {
  it('says everything again, one after the other, in printable ASCII', () => {
    fc.assert(
      fc.property(fc.array(anySitting, { minLength: 1, maxLength: 4 }), (sittings) => {
        const text = sittings.map(packSitting).join('')
        expect(text).toMatch(/^[0-o]+$/)
        const numbers = new PackedNumbers()
        numbers.open(text)
        const found: PlacedSitting[] = []
        while (!numbers.atEnd) found.push(unpack(numbers))
        expect(found).toEqual(sittings)
      }),
    )
  })

  it('tells its marks, its own time and whether it has a reading in a span without being unpacked', () => {
    fc.assert(
      fc.property(anySitting, moment, moment, (sitting, one, other) => {
        const packed = packSitting(sitting)
        const [fromMs, toMs] = [Math.min(one, other), Math.max(one, other)]
        expect(packedMarks(packed) & ALL_MARKS).toBe(sitting.marks)
        expect((packedMarks(packed) & PACKED.irregular) !== 0).toBe(
          sitting.readings.some(({ irregular }) => irregular),
        )
        expect(packedSittingMs(packed)).toBe(sitting.takenMs)
        expect(hasReadingBetween(packed, fromMs, toMs)).toBe(
          sitting.readings.some(({ takenMs }) => takenMs >= fromMs && takenMs <= toMs),
        )
      }),
    )
  })

  it('takes about sixteen characters a reading', () => {
    const readings = [0, 70_000, 140_000].map((ms) => ({
      ...{ takenMs: 1_772_000_000_000 + ms, ownTime: true, irregular: false },
      ...{ systolic: 1340, diastolic: 850, pulse: 70 },
    }))
    const span = { firstMs: 1_772_000_000_000, lastMs: 1_772_000_140_000 }
    const sitting = {
      takenMs: span.firstMs,
      ...span,
      marks: 0,
      unit: 'mmHg',
      positionStated: true,
      readings,
    } as const
    expect(packSitting(sitting).length).toBeLessThanOrEqual(48)
  })
})
