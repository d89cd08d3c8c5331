import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { DeliveryFilter, PeriodFilter, Store } from '../../src/flow/ports/ports.ts'
import { Database } from '../../src/shell/store/connection/database.ts'
import { InThreadWriter } from '../../src/shell/store/in-thread-writer.ts'
import { openSqliteEngine } from '../../src/shell/store/sqlite-engine.ts'
import { storeOver } from '../../src/shell/store/store-over.ts'
import { sweepInThread } from '../../src/shell/store/sweep/sweep-in-thread.ts'
import type { CallName, EngineCalls } from '../../src/shell/store/writer.ts'
import { type TemporaryStore, temporaryStore } from '../support/temporary-store.ts'
import { auditEntry } from './store-builders.ts'

/** More than one look goes through. */
const ENTRIES = 25_000
const PERIODS = 12_000

const NUMBERS = `WITH RECURSIVE numbered (number) AS (
  SELECT 1 UNION ALL SELECT number + 1 FROM numbered WHERE number < `

/** Settled deliveries and closed periods of many years, the last of each unlike all others, and one that waits. */
function fill(file: string): void {
  const database = new Database(file)
  database.write(() =>
    database.run(`
      INSERT INTO source_number VALUES (1, 'harbour-app'), (2, 'hill-app');
      ${NUMBERS} ${ENTRIES}) INSERT INTO outbox (id, destination, source_no, subject, kind, urgent, about, state, attempts,
          claims, queued_ms, due_ms, next_ms, ready, uncertain, last_problem)
        SELECT number, iif(number < ${ENTRIES}, 'clinic', 'late-clinic'), iif(number < ${ENTRIES}, 1, 2), 'HW-1',
          iif(number < ${ENTRIES}, 'session', 'average'), 0, number, iif(number < ${ENTRIES}, 'settled', 'waiting'), 1, 1,
          iif(number < ${ENTRIES}, 1000, 0), 0, 0, 0, 0, iif(number < ${ENTRIES}, 'CLINIC_BUSY', 'CLINIC_FAILED') FROM numbered;
      INSERT INTO settled_count VALUES ('clinic', ${ENTRIES - 1});
      ${NUMBERS} ${PERIODS}) INSERT INTO period (id, source_no, subject, protocol, first_day, last_day, state, due_ms,
          withdrawn)
        SELECT printf('%08x', number), iif(number < ${PERIODS}, 1, 2), 'HW-' || number,
          iif(number < ${PERIODS}, 'week', 'fortnight'), '2026-03-02', '2026-03-08', 'closed', 0, number = ${PERIODS}
        FROM numbered;`),
  )
  database.close()
}

/** Counts what is asked of the thread that writes: between two calls, others are answered. */
class CountingWriter extends InThreadWriter {
  calls = 0

  override call<Name extends CallName>(
    name: Name,
    ...values: Parameters<EngineCalls[Name]>
  ): Promise<ReturnType<EngineCalls[Name]>> {
    this.calls += 1
    return super.call(name, ...values)
  }
}

describe('lists of a store that has grown for years', () => {
  let temporary: TemporaryStore
  let writer: CountingWriter
  let store: Store
  beforeAll(async () => {
    temporary = await temporaryStore(['clinic'], async (options) => {
      writer = new CountingWriter(openSqliteEngine(options))
      return storeOver(writer, sweepInThread(options.file))
    })
    store = temporary.store
    fill(temporary.file)
  })
  afterAll(() => temporary.remove())

  /** What a list holds, and in how many calls it was put together. */
  async function counted<Row>(list: Promise<readonly Row[]>): Promise<[readonly Row[], number]> {
    const before = writer.calls - 1
    const rows = await list
    return [rows, writer.calls - before]
  }

  it.each([
    { destination: 'late-clinic' },
    { source: 'hill-app' },
    { kind: 'average' },
    { queuedBeforeMs: 500 },
    { destination: 'late-clinic', state: 'waiting', kind: 'average' },
    { problem: 'CLINIC_FAILED', source: 'hill-app' },
  ] satisfies DeliveryFilter[])(
    'lets other calls come in between while it looks for deliveries by %j',
    async (filter) => {
      const [entries, calls] = await counted(store.deliveryPage({ limit: 10, ...filter }))
      expect(entries.map(({ id }) => id)).toEqual([ENTRIES])
      expect(calls).toBe(3)
    },
  )

  it.each([
    {},
    { state: 'waiting' },
    { state: 'waiting', destination: 'late-clinic' },
    { problem: 'CLINIC_FAILED' },
  ] satisfies DeliveryFilter[])('asks once where an index leads to the deliveries of %j', async (filter) => {
    const [entries, calls] = await counted(store.deliveryPage({ limit: ENTRIES, ...filter }))
    expect(entries.at(-1)?.id).toBe(ENTRIES)
    expect(calls).toBe(1)
  })

  it('puts many that are given up back some at a time, each once, and records it once', async () => {
    const database = new Database(temporary.file)
    database.run(`UPDATE outbox SET state = 'given-up' WHERE id % 25 = 0 AND id < ${ENTRIES};
      UPDATE outbox SET state = 'parked' WHERE id % 25 = 7`)
    database.close()
    const { auditRows } = await store.figures()
    const before = writer.calls
    expect(await store.retryDeliveries({ destination: 'clinic' }, 0, auditEntry('clinic'))).toBe(1_999)
    expect(writer.calls - before).toBe(10)
    expect((await store.figures()).auditRows).toBe(auditRows + 1)
    expect(await store.retryDeliveries({ destination: 'clinic' }, 0, auditEntry('clinic'))).toBe(0)
    expect((await store.figures()).auditRows).toBe(auditRows + 1)
  })

  it('goes on from a place far on, and ends with a full page', async () => {
    const page = (after: number) => store.deliveryPage({ after: String(after), limit: 3, kind: 'session' })
    expect((await page(9_998)).map(({ id }) => id)).toEqual([9_999, 10_000, 10_001])
    expect((await page(ENTRIES - 3)).map(({ id }) => id)).toEqual([ENTRIES - 2, ENTRIES - 1])
  })

  it.each([
    { source: 'hill-app' },
    { protocol: 'fortnight' },
    { state: 'withdrawn' },
    { subject: `HW-${PERIODS}` },
    { source: 'hill-app', state: 'withdrawn' },
  ] satisfies PeriodFilter[])(
    'lets other calls come in between while it looks for periods by %j',
    async (filter) => {
      const [periods, calls] = await counted(store.periodPage({ limit: 10, ...filter }))
      expect(periods.map(({ subject }) => subject)).toEqual([`HW-${PERIODS}`])
      expect(calls).toBe(3)
    },
  )

  it('asks once for the periods of one subject', async () => {
    const subject = `HW-${PERIODS}`
    const [periods, calls] = await counted(store.periodPage({ limit: 10, source: 'hill-app', subject }))
    expect(periods).toHaveLength(1)
    expect(calls).toBe(1)
  })

  it('pages through all periods of a source, each once', async () => {
    const found: string[] = []
    for (let after = ''; ; ) {
      const page = await store.periodPage({ after, limit: 1_000, source: 'harbour-app' })
      found.push(...page.map(({ id }) => id))
      after = page.at(-1)?.id ?? after
      if (page.length < 1_000) break
    }
    expect(found).toHaveLength(PERIODS - 1)
    expect(new Set(found).size).toBe(PERIODS - 1)
  })
})
