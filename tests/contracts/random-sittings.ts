import { type SeededRandom, seededRandom } from '../../samples/generator/seeded-random.ts'
import type { SessionRecord } from '../../src/flow/ports/ports.ts'
import { recordOf } from './store-builders.ts'

const MS_PER_MINUTE = 60_000
const FROM_MS = Date.parse('2026-03-01T00:00:00Z')
const MINUTES = 12 * 24 * 60

/**
 * Sessions of one person around a week from 2 March 2026, with everything that decides which readings count: both units,
 * arms, sites and settings, stated or not, missing pressures and times, sittings over midnight, readings out of order, and
 * moments that several sittings share.
 */
export function randomSittings(subject: string, count: number, seed: number): readonly SessionRecord[] {
  const random = seededRandom(seed)
  return Array.from({ length: count }, (_, index) => randomSitting(`${subject}-${index}`, subject, random))
}

/** One of them under an id of the caller's choice. */
export function randomSitting(id: string, subject: string, random: SeededRandom): SessionRecord {
  const unit = random.next() < 0.8 ? 'mmHg' : 'kPa'
  const startMs = FROM_MS + 10 * random.whole(0, MINUTES / 10) * MS_PER_MINUTE
  const readings = Array.from({ length: random.whole(1, 4) }, (_, index) =>
    randomReading(startMs + (index + random.whole(-1, 1)) * MS_PER_MINUTE, unit, random),
  )
  const raw = {
    id,
    subject,
    takenAt: utc(startMs),
    setting: pick(random, ['home', 'home', 'home', 'home', 'clinic', 'public-kiosk']),
    position: 'sitting',
    // Undefined: the record does not have the key.
    arm: pick(random, ['left', 'left', 'right', undefined]),
    site: pick(random, ['upper-arm', 'upper-arm', 'upper-arm', 'wrist', undefined]),
    readings,
    unit,
    entry: 'transferred',
  }
  return recordOf('harbour-app', JSON.stringify(raw))
}

function randomReading(takenMs: number, unit: string, random: SeededRandom): object {
  const systolic = random.whole(1000, 1900)
  const diastolic = systolic - random.whole(200, 500)
  const inUnit = (tenths: number) => (unit === 'mmHg' ? tenths / 10 : Math.round(tenths * 13.3322) / 1000)
  const missing = random.next()
  return {
    ...(random.next() < 0.8 ? { takenAt: utc(takenMs) } : {}),
    systolic: missing < 0.05 ? null : inUnit(systolic),
    diastolic: missing > 0.95 ? null : inUnit(diastolic),
    ...(random.next() < 0.7 ? { pulse: random.whole(50, 100) } : {}),
  }
}

function pick<T>(random: SeededRandom, choices: readonly [T, ...T[]]): T {
  return choices[random.whole(0, choices.length - 1)] ?? choices[0]
}

function utc(ms: number): string {
  return `${new Date(ms).toISOString().slice(0, 19)}Z`
}
