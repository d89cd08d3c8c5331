import { microPascals } from '../../basics/pressure.ts'
import type { PlacedReading } from '../averaging/period-average.ts'
import type { IntegritySignal } from './integrity-signal.ts'
import { SIGNAL_LEVELS } from './signal-levels.ts'

/**
 * Raised when one and the same pair of systolic and diastolic makes up a quarter of the readings or more, and four at
 * least, typed or transferred. Even a steady pressure, whose readings differ by an SD of 4/3, has about one reading in
 * 75 on its most frequent pair. Common practice; no published source states such a rule.
 */
export function sameNumbersAgain(readings: readonly PlacedReading[]): readonly IntegritySignal[] {
  const times = new Map<string, number>()
  for (const { reading } of readings) {
    if (reading.systolic === null || reading.diastolic === null) continue
    const pair = `${microPascals(reading.systolic)}/${microPascals(reading.diastolic)}`
    times.set(pair, (times.get(pair) ?? 0) + 1)
  }
  const count = Math.max(0, ...times.values())
  const { least, share } = SIGNAL_LEVELS.samePair
  if (count < least || count < readings.length * share) return []
  return [
    {
      code: 'same-numbers-again',
      count,
      of: readings.length,
      text:
        `The same pair of systolic and diastolic stands in ${count} of ${readings.length} readings. A reading that was ` +
        'sent or copied more than once may explain it, and so may a very steady pressure.',
      citation: 'common-practice',
    },
  ]
}
