import { hash, randomUUID } from 'node:crypto'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { SessionRecord } from '../../../src/flow/ports.ts'
import { SqliteEngine } from '../../../src/shell/store/sqlite-engine.ts'

export interface StoreIngestFigures {
  readonly held: number
  /** Sessions acknowledged a second, and the longest single batch, while nothing is merged and while merging goes on. */
  readonly acceptedPerSecond: number
  readonly longestBatchMs: number
  readonly mergedPerSecond: number
  readonly longestMergeStepMs: number
  readonly memoryGrowthMB: number
}

const SUBJECTS = 100_000
const ENROLLED = 5_000
const BATCH = 1_000

/**
 * Store alone, in one thread: sessions with random ids of random subjects, in batches, into a store that already
 * holds some. Each batch is durable before the next begins. Records are made before the clock starts.
 */
export function measureStoreIngest(held: number, added: number): StoreIngestFigures {
  const folder = mkdtempSync(join(tmpdir(), 'store-ingest-'))
  const engine = new SqliteEngine({
    file: join(folder, 'gateway.db'),
    readingsAtOnce: new Set(['clinic']),
  })
  try {
    enrolSome(engine)
    for (let at = 0; at < held; at += 50_000) {
      acceptAll(engine, batches(Math.min(50_000, held - at)))
      while (engine.mergeStep());
    }
    const incoming = batches(added)
    const before = process.memoryUsage.rss()
    const accepted = acceptAll(engine, incoming)
    const merged = mergeAll(engine)
    return {
      held,
      acceptedPerSecond: Math.round((added / accepted.totalMs) * 1000),
      longestBatchMs: accepted.longestMs,
      mergedPerSecond: Math.round((added / merged.totalMs) * 1000),
      longestMergeStepMs: merged.longestMs,
      memoryGrowthMB: Math.round((process.memoryUsage.rss() - before) / 1e6),
    }
  } finally {
    engine.close()
    rmSync(folder, { recursive: true })
  }
}

interface Timing {
  readonly totalMs: number
  readonly longestMs: number
}

function acceptAll(engine: SqliteEngine, incoming: readonly (readonly SessionRecord[])[]): Timing {
  return timed(incoming, (batch) => engine.accept(batch))
}

function mergeAll(engine: SqliteEngine): Timing {
  return timed(untilMerged(engine), () => undefined)
}

function* untilMerged(engine: SqliteEngine): Generator<void, void> {
  while (engine.mergeStep()) yield
}

function timed<T>(items: Iterable<T>, work: (item: T) => unknown): Timing {
  const start = performance.now()
  let last = start
  let longestMs = 0
  for (const item of items) {
    work(item)
    const now = performance.now()
    longestMs = Math.max(longestMs, now - last)
    last = now
  }
  return { totalMs: performance.now() - start, longestMs: Math.round(longestMs) }
}

function enrolSome(engine: SqliteEngine): void {
  for (let subject = 0; subject < ENROLLED; subject += 1) {
    engine.saveEnrolment(
      {
        source: 'harbour-app',
        subject: `HW-${subject}`,
        patient: { system: 'urn:example:clinic', value: String(subject) },
        zone: 'America/Denver',
        destination: 'clinic',
      },
      {
        at: '2026-03-01T00:00:00Z',
        actor: 'operator',
        action: 'enrolment-saved',
        about: 'harbour-app',
        outcome: 'done',
        detail: {},
      },
    )
  }
}

function batches(count: number): SessionRecord[][] {
  return Array.from({ length: Math.ceil(count / BATCH) }, (_, index) =>
    Array.from({ length: Math.min(BATCH, count - index * BATCH) }, record),
  )
}

function record(): SessionRecord {
  const id = randomUUID()
  const subject = `HW-${Math.floor(Math.random() * SUBJECTS)}`
  const takenMs = Date.UTC(2026, 2, 1) + Math.floor(Math.random() * 14 * 86_400) * 1000
  const takenAt = `${new Date(takenMs).toISOString().slice(0, 19)}Z`
  const reading = { takenAt, systolic: 134, diastolic: 85, pulse: 70 }
  const raw = JSON.stringify({
    id,
    subject,
    takenAt,
    setting: 'home',
    position: 'sitting',
    arm: 'left',
    site: 'upper-arm',
    readings: [reading, reading, reading],
    unit: 'mmHg',
    entry: 'transferred',
    conditions: { restMinutes: 5, backSupported: true, feetFlat: true, legsCrossed: false, talking: false },
    device: { manufacturer: 'Invented', model: 'A', serial: '0001', kind: 'upper-arm-automatic' },
    note: 'x'.repeat(100),
  })
  return {
    uuid: randomUUID(),
    source: 'harbour-app',
    id,
    subject,
    takenMs,
    raw,
    sha256: hash('sha256', raw, 'hex'),
    receivedAt: '2026-03-02T13:41:00Z',
  }
}
