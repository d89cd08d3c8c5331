import { seededRandom } from '../../samples/generator/seeded-random.ts'

/** What one invented person does: measures, corrects, takes back, sends something late. */
export interface PlannedPerson {
  readonly subject: string
  readonly patient: { readonly system: string; readonly value: string }
  readonly destination: string
  /** Sent before the period is opened and closed. */
  readonly sessions: readonly PlannedSession[]
  /** What comes after the first average, in order. */
  readonly changes: readonly PlannedChange[]
}

export interface PlannedSession {
  readonly id: string
  readonly takenAt: string
  readonly readings: readonly {
    readonly takenAt: string
    readonly systolic: number
    readonly diastolic: number
  }[]
}

export type PlannedChange =
  | { readonly kind: 'correct'; readonly session: PlannedSession }
  | { readonly kind: 'late'; readonly session: PlannedSession }
  | { readonly kind: 'withdraw'; readonly id: string }

export const FIRST_DAY = '2025-03-03'
export const DAYS = 4
const SITTINGS = ['06:40', '20:10'] as const

/**
 * People for about so many deliveries: each has one for the average and one for each amended average, and where
 * readings are sent as they come one for each session and change. Nobody in it exists.
 *
 * @param destinations names, dealt out in turn.
 */
export function chaosPlan(
  seed: number,
  deliveries: number,
  destinations: readonly string[],
): readonly PlannedPerson[] {
  const random = seededRandom(seed)
  const people: PlannedPerson[] = []
  for (let planned = 0; planned < deliveries; ) {
    const subject = `C-${seed}-${people.length + 1}`
    const sittings = Array.from({ length: DAYS * SITTINGS.length }, (_, at) =>
      session(subject, at, 0, random),
    )
    const isLate = random.next() < 0.3
    const sessions = isLate ? sittings.slice(0, -1) : sittings
    const changes = changesOf(subject, sittings, isLate, random)
    people.push({
      subject,
      patient: { system: 'https://clinic.example/mrn', value: `P-${subject}` },
      destination: destinations[people.length % destinations.length] ?? '',
      sessions,
      changes,
    })
    const atOnce = people.length % 2 === 1
    planned += (atOnce ? sessions.length + changes.length : 0) + 1 + changes.length
  }
  return people
}

type Random = ReturnType<typeof seededRandom>

function changesOf(
  subject: string,
  sittings: readonly PlannedSession[],
  isLate: boolean,
  random: Random,
): readonly PlannedChange[] {
  const last = sittings.at(-1)
  const changes: PlannedChange[] = isLate && last !== undefined ? [{ kind: 'late', session: last }] : []
  for (let count = random.whole(0, 2); count > 0; count -= 1) {
    const at = random.whole(0, sittings.length - 3)
    changes.push({ kind: 'correct', session: session(subject, at, random.whole(1, 4), random) })
  }
  const withdrawn = sittings.at(-2)
  if (random.next() < 0.25 && withdrawn !== undefined) changes.push({ kind: 'withdraw', id: withdrawn.id })
  return changes
}

/** @param shift mmHg that a correction adds. */
function session(subject: string, at: number, shift: number, random: Random): PlannedSession {
  const day = new Date(Date.parse(`${FIRST_DAY}T00:00:00Z`) + Math.floor(at / SITTINGS.length) * 86_400_000)
  const start = Date.parse(`${day.toISOString().slice(0, 10)}T${SITTINGS[at % SITTINGS.length]}:00Z`)
  const readings = [0, 1].map((ordinal) => ({
    takenAt: utc(start + ordinal * 70_000),
    systolic: 126 + random.whole(0, 14) + shift,
    diastolic: 76 + random.whole(0, 8),
  }))
  return { id: `${subject.toLowerCase()}-${at + 1}`, takenAt: utc(start), readings }
}

function utc(ms: number): string {
  return new Date(ms).toISOString().replace('.000Z', '+00:00')
}

/** A session as a source sends it. Monitors are lent out, so several people’s readings name the same one. */
export function recordOf({ subject }: PlannedPerson, { id, takenAt, readings }: PlannedSession): object {
  const monitor = Number(subject.replace(/^.*-/, '')) % 5
  return {
    id,
    subject,
    takenAt,
    setting: 'home',
    position: 'sitting',
    arm: 'left',
    site: 'upper-arm',
    readings: readings.map((reading) => ({ ...reading, pulse: 64 + (reading.systolic % 7) })),
    unit: 'mmHg',
    entry: 'transferred',
    device: {
      manufacturer: 'Made-up Monitors',
      model: 'MM-2',
      serial: `LENT-${monitor}`,
      kind: 'upper-arm-automatic',
    },
  }
}
