import { benchSubject } from '../../samples/generator/generate-sessions.ts'
import { seededRandom } from '../../samples/generator/seeded-random.ts'
import { sittingNumbers } from '../../samples/generator/sitting.ts'
import { Database } from '../../src/shell/store/connection/database.ts'
import { placedSitting } from '../../src/shell/store/sittings/placed-sitting.ts'
import { packedSitting, SittingRows } from '../../src/shell/store/sittings/sitting-rows.ts'

export const FIRST_DAY = '2026-01-05'
export const DAYS = 14
export const READINGS = 3

const MS_PER_HOUR = 3_600_000
const FIRST_MS = Date.parse(`${FIRST_DAY}T00:00:00Z`)
/** Where people live, and the hour of UTC at which a morning sitting of theirs begins. */
const ZONES = [
  { zone: 'America/Denver', hour: 13 },
  { zone: 'Europe/Helsinki', hour: 5 },
  { zone: 'Asia/Tokyo', hour: 22 - 24 },
] as const
const PEOPLE_A_COMMIT = 1_000

/**
 * Fills a store that was just made with people who measure three times on each of fourteen days, in the morning or
 * the evening, by the functions with which the store's merge makes the same rows of a record. Beside them, for the
 * floor, the same readings as a plain table clustered by person and time.
 */
export function fillPeople(file: string, people: number): void {
  const database = new Database(file)
  const sittings = new SittingRows(database)
  database.run(`INSERT INTO source_number VALUES (1, 'bench-app');
    CREATE TABLE plain_reading (
      source_no INTEGER NOT NULL, subject TEXT NOT NULL, taken_ms INTEGER NOT NULL, seq INTEGER NOT NULL,
      ordinal INTEGER NOT NULL, systolic INTEGER, diastolic INTEGER, pulse INTEGER,
      PRIMARY KEY (source_no, subject, taken_ms, seq, ordinal)) STRICT, WITHOUT ROWID`)
  const enrol = database.prepare(
    "INSERT INTO enrolment VALUES (1, ?, 'urn:example:clinic', ?, ?, 'clinic', NULL)",
  )
  const plain = database.prepare('INSERT INTO plain_reading VALUES (1, ?, ?, ?, ?, ?, ?, ?)')
  const random = seededRandom(people)
  let seq = 0
  let longestMs = 0

  const addSitting = (subject: string, startMs: number, level: Level): void => {
    const numbers = sittingNumbers(level, READINGS, { systolic: 0, diastolic: 0 }, random)
    const readings = numbers.map((reading, index) => ({
      takenAt: `${new Date(startMs + index * 70_000).toISOString().slice(0, 19)}Z`,
      ...reading,
    }))
    const arm = 'left'
    const raw = JSON.stringify({
      setting: 'home',
      position: 'sitting',
      arm,
      site: 'upper-arm',
      readings,
      unit: 'mmHg',
    })
    const packed = packedSitting(placedSitting(raw, startMs, null))
    seq += 1
    longestMs = Math.max(longestMs, packed.reachMs)
    sittings.add(1, subject, random.uuid(), seq, packed)
    for (const [index, { systolic, diastolic, pulse }] of numbers.entries()) {
      plain.run(subject, startMs + index * 70_000, seq, index + 1, systolic * 10, diastolic * 10, pulse)
    }
  }

  for (let from = 1; from <= people; from += PEOPLE_A_COMMIT) {
    database.write(() => {
      for (let number = from; number < from + PEOPLE_A_COMMIT && number <= people; number += 1) {
        const subject = benchSubject(number)
        const { zone, hour } = ZONES[random.whole(0, ZONES.length - 1)] ?? ZONES[0]
        enrol.run(subject, `P-${number}`, zone)
        const systolic = random.whole(112, 158)
        const level = { systolic, diastolic: systolic - random.whole(42, 60), pulse: random.whole(56, 84) }
        for (let day = 0; day < DAYS; day += 1) {
          const evening = random.next() < 0.5 ? 12 : 0
          const startMs =
            FIRST_MS + (24 * day + hour + evening) * MS_PER_HOUR + random.whole(0, 7_199) * 1_000
          addSitting(subject, startMs, level)
        }
      }
    })
  }
  database.prepare('UPDATE merged SET longest_ms = ?').run(longestMs)
  database.run('PRAGMA wal_checkpoint(TRUNCATE)')
  database.close()
}

interface Level {
  readonly systolic: number
  readonly diastolic: number
  readonly pulse: number
}
