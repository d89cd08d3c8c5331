import { DatabaseSync } from '@photostructure/sqlite'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { verifyChain } from '../../src/core/audit/chain.ts'
import { Database } from '../../src/shell/store/connection/database.ts'
import { migrate } from '../../src/shell/store/connection/migrate.ts'
import { ALL_MIGRATIONS } from '../../src/shell/store/connection/migrations/all-migrations.ts'
import { InThreadWriter } from '../../src/shell/store/in-thread-writer.ts'
import { openSqliteStore } from '../../src/shell/store/open-sqlite-store.ts'
import { OPEN } from '../../src/shell/store/outbox/lanes.ts'
import { openSqliteEngine, type SqliteEngine } from '../../src/shell/store/sqlite-engine.ts'
import { storeOver } from '../../src/shell/store/store-over.ts'
import { sweepInThread } from '../../src/shell/store/sweep/sweep-in-thread.ts'
import { type TemporaryStore, temporaryStore } from '../support/temporary-store.ts'
import { auditEntry, enrolment, RECEIVED_AT, RECEIVED_MS, sessionRecord } from './store-builders.ts'
import { describeStore } from './store-contract.ts'

describeStore('SQLite in the calling thread', () => temporaryStore())

/** Every id has the same lookup key, and everything accepted is merged before the next call. */
describeStore('SQLite with colliding keys, merged after each call', () =>
  temporaryStore(['clinic'], async (options) => {
    const engine = openSqliteEngine({ ...options, idKey: () => 7 })
    const store = storeOver(new InThreadWriter(engine), sweepInThread(options.file))
    const merged = <T>(answer: T): T => {
      while (engine.mergeStep());
      return answer
    }
    return {
      ...store,
      accept: async (records) => merged(await store.accept(records)),
      correct: async (...values) => merged(await store.correct(...values)),
      withdraw: async (...values) => merged(await store.withdraw(...values)),
    }
  }),
)

describe('what a dead process had claimed', () => {
  it('may be claimed again from the moment that is said when the file is opened, where its lease ends later', async () => {
    const temporary = await temporaryStore(['clinic'], (options) =>
      openSqliteStore({ ...options, claimsFreeMs: RECEIVED_MS + 5_000 }),
    )
    try {
      await temporary.store.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))
      await temporary.store.accept([sessionRecord({ id: 'a', subject: 'HW-1' })])
      await temporary.store.claim(RECEIVED_MS, 60_000, 10)
      const store = await temporary.reopen()
      expect(await store.claim(RECEIVED_MS + 4_999, 60_000, 10)).toEqual([])
      expect(await store.claim(RECEIVED_MS + 5_000, 60_000, 10)).toMatchObject([{ id: 1, uncertain: true }])
    } finally {
      await temporary.remove()
    }
  })
})

describe('the SQLite store', () => {
  let temporary: TemporaryStore
  beforeEach(async () => {
    temporary = await temporaryStore()
  })
  afterEach(() => temporary.remove())

  const engine = (file = temporary.file) =>
    openSqliteEngine({
      file,
      readingsAtOnce: new Set(['clinic']),
      attentionAtOnce: new Set(['clinic', 'later-clinic']),
    })
  const sql = (statement: string) => {
    const connection = new DatabaseSync(temporary.file)
    connection.exec(statement)
    connection.close()
  }

  it('lets a key open nothing as soon as another process has revoked it', async () => {
    const key = { sha256: 'a'.repeat(64), role: 'read' } as const
    await temporary.store.saveAccessKey(key, auditEntry('read', 'key-issued'))
    expect(await temporary.store.accessKey(key.sha256)).toEqual(key)
    const other = engine()
    other.revokeAccessKey('a'.repeat(12), auditEntry('read', 'key-revoked'))
    expect(await temporary.store.accessKey(key.sha256)).toBeUndefined()
    other.close()
  })

  it('tells why nothing can be written, until something can', () => {
    let opened: Database | undefined
    const opening = vi.spyOn(Database.prototype, 'tryWrite').mockImplementation(function (this: Database) {
      opened = this
    })
    const store = engine(`${temporary.file}-alone`)
    expect(opening).toHaveBeenCalledOnce()
    opening.mockRestore()
    expect(store.writeProblem()).toBeUndefined()
    opened?.run('PRAGMA query_only = 1')
    expect(() => store.recordAudit(auditEntry('x'))).toThrow(/readonly/)
    expect(store.writeProblem()).toBe('SQLITE_READONLY')
    expect(store.figures().writeFailures).toEqual({ SQLITE_READONLY: 2 })
    opened?.run('PRAGMA query_only = 0')
    expect(store.writeProblem()).toBeUndefined()
    store.close()
  })

  it('opens beside a running service where nothing can be written, for what is held can be read; and not alone', async () => {
    const alone = `${temporary.file}-alone`
    const writing = vi.spyOn(Database.prototype, 'tryWrite').mockImplementation(() => {
      throw new Error('database or disk is full')
    })
    try {
      const beside = engine()
      expect(beside.sources()).toEqual(await temporary.store.sources())
      beside.close()
      expect(() => engine(alone)).toThrow('full')
    } finally {
      writing.mockRestore()
    }
    // What could not be opened is held by nobody, and seen to be writable again.
    const trying = vi.spyOn(Database.prototype, 'tryWrite')
    engine(alone).close()
    expect(trying).toHaveBeenCalledOnce()
    trying.mockRestore()
  })

  it('refuses a file made by a newer release, naming the migration', async () => {
    sql("INSERT INTO migration VALUES (99, 'from-the-future', 'x', '2030-01-01T00:00:00Z')")
    await expect(temporary.reopen()).rejects.toMatchObject({
      code: 'STORE_FAILED',
      message: expect.stringContaining('newer release: it holds migration 99 (from-the-future)'),
    })
  })

  it('leaves what another process has claimed to it, though the one that opened the file first has ended', async () => {
    await temporary.store.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))
    await temporary.store.accept([sessionRecord({ id: 'a', subject: 'HW-1' })])
    const second = storeOver(new InThreadWriter(engine()), sweepInThread(temporary.file))
    await temporary.store.close()
    await second.claim(RECEIVED_MS, 60_000, 10)
    const command = engine()
    expect(command.delivery(1)).toMatchObject({ state: 'claimed' })
    command.close()
    await second.close()
    const restarted = engine()
    expect(restarted.delivery(1)).toMatchObject({ state: 'waiting', uncertain: true })
    restarted.close()
  })

  it('brings no file up to date that another process works on, which may be of the earlier release', async () => {
    sql('DELETE FROM migration WHERE number = (SELECT max(number) FROM migration)')
    expect(() => engine()).toThrow('another process has it open. End that one')
    await temporary.reopen()
    engine().close()
  })

  it('refuses a file whose applied migration is not the one it knows', async () => {
    sql("UPDATE migration SET sha256 = 'x' WHERE number = 1")
    await expect(temporary.reopen()).rejects.toMatchObject({
      code: 'STORE_FAILED',
      message: expect.stringContaining('migration 1 (first) of the store differs'),
    })
  })

  it('applies only the migrations that are missing, and none when one of them fails', () => {
    const database = new Database(':memory:')
    migrate(database)
    const number = ALL_MIGRATIONS.length + 1
    const added = { number, name: 'added', sql: 'CREATE TABLE added (a) STRICT' }
    const broken = { number, name: 'broken', sql: 'CREATE TABLE fine (a ANY) STRICT; CREATE TABEL' }
    expect(() => migrate(database, [...ALL_MIGRATIONS, broken])).toThrow(/syntax error/)
    expect(() => database.prepare('SELECT * FROM fine')).toThrow(/no such table/)
    migrate(database, [...ALL_MIGRATIONS, { ...added, sql: 'CREATE TABLE added (a ANY) STRICT' }])
    expect(database.prepare('SELECT number FROM migration ORDER BY number').all()).toMatchObject(
      [...ALL_MIGRATIONS, added].map((one) => ({ number: one.number })),
    )
    database.close()
  })

  it('refuses a file that cannot be opened', async () => {
    const open = openSqliteStore({
      file: '/no/such/folder/gateway.db',
      readingsAtOnce: new Set(),
      attentionAtOnce: new Set(),
    })
    await expect(open).rejects.toMatchObject({ code: 'STORE_FAILED' })
  })

  it('flushes every commit to the disk', () => {
    const database = new Database(temporary.file)
    expect(database.prepare('PRAGMA synchronous').get()).toMatchObject({ synchronous: 2 })
    expect(database.prepare('PRAGMA journal_mode').get()).toMatchObject({ journal_mode: 'wal' })
    database.close()
  })

  it('shows an audit row changed in the file', async () => {
    for (const about of ['a', 'b', 'c']) await temporary.store.recordAudit(auditEntry(about))
    sql("UPDATE audit SET outcome = 'failed' WHERE seq = 2")
    expect(verifyChain(await temporary.store.auditPage({ limit: 10 }))).toEqual({ seq: 2, what: 'changed' })
  })

  it('searches the audit trail to its end, however far apart the rows are', async () => {
    await temporary.store.recordAudit(auditEntry('a'))
    await temporary.store.close()
    sql(`INSERT INTO audit WITH RECURSIVE row (seq) AS (SELECT 2 UNION ALL SELECT seq + 1 FROM row WHERE seq < 45000)
         SELECT seq, '', '', '', 'other', '', '{}', '' FROM row`)
    await temporary.reopen()
    await temporary.store.recordAudit(auditEntry('a'))
    const found = await temporary.store.auditPage({ limit: 10, about: 'a' })
    expect(found.map(({ seq }) => seq)).toEqual([1, 45_001])
  })

  it('keeps nothing of a call that failed, and goes on', async () => {
    const { store } = temporary
    await store.accept([sessionRecord({ id: 'a' })])
    const broken = { ...sessionRecord({ id: 'c' }), takenMs: 0.5 }
    await expect(store.accept([sessionRecord({ id: 'b' }), broken])).rejects.toMatchObject({
      code: 'STORE_FAILED',
    })
    expect(await store.session('harbour-app', 'b')).toBeUndefined()
    const [answer] = await store.accept([sessionRecord({ id: 'b' })])
    expect(answer).toMatchObject({ outcome: 'kept', stored: { seq: 2 } })
    expect(verifyChain(await store.auditPage({ limit: 10 }))).toBeUndefined()
  })

  it('says the same while and after it merges', async () => {
    await temporary.store.close()
    const records = Array.from({ length: 5000 }, (_, index) =>
      sessionRecord({ id: `s-${index}`, subject: `HW-${index % 50}`, systolic: 100 + (index % 60) }),
    )
    const merging = engine()
    merging.accept(records)
    const seen = () => [
      merging.session('harbour-app', 's-4321')?.seq,
      merging.sessionByUuid(records[17]?.uuid ?? '')?.seq,
      merging
        .sessionsBetween('harbour-app', 'HW-7', 0, 9e12)
        .map(({ id }) => id)
        .join(' '),
      merging
        .accept(records.slice(40, 45))
        .map(({ outcome }) => outcome)
        .join(' '),
    ]
    const before = seen()
    expect(before.slice(0, 2)).toEqual([4322, 18])
    let steps = 0
    for (; merging.mergeStep(); steps += 1) expect(seen()).toEqual(before)
    expect(steps).toBeGreaterThan(5)
    expect(merging.unmerged).toBe(0)
    expect(seen()).toEqual(before)
    merging.close()
  })

  it('merges every sitting once when stopped between any two steps', async () => {
    await temporary.store.close()
    const first = engine()
    first.accept(Array.from({ length: 3000 }, (_, index) => sessionRecord({ id: `s-${index}` })))
    first.close()
    for (let stopAfter = 1; stopAfter < 12; stopAfter += 1) {
      const stopped = engine()
      for (let step = 0; step < stopAfter; step += 1) stopped.mergeStep()
      stopped.close()
    }
    const last = engine()
    while (last.mergeStep());
    last.close()
    const database = new Database(temporary.file)
    const count = (table: string) =>
      database.prepare<{ n: number }>(`SELECT count(*) AS n FROM ${table}`).get()?.n
    expect([count('sitting'), count('session_key'), count('uuid_key')]).toEqual([3000, 3000, 3000])
    database.close()
  })

  it('holds one version of a corrected session, the newest, when stopped between any two steps', async () => {
    await temporary.store.close()
    const first = engine()
    const records = Array.from({ length: 2500 }, (_, index) => sessionRecord({ id: `s-${index}` }))
    first.accept(records)
    while (first.mergeStep());
    first.accept(records.slice(0, 2000).map((record) => sessionRecord({ id: `t-${record.id}` })))
    const moved = (id: string, day: string) =>
      first.correct(sessionRecord({ id, takenAt: `${day}T06:41:00Z` }), auditEntry(id, 'session-corrected'))
    // s-1 is merged, t-s-1 is not; s-2 changes twice
    moved('s-1', '2026-03-20')
    moved('t-s-1', '2026-03-21')
    moved('s-2', '2026-03-22')
    moved('s-2', '2026-03-23')
    first.withdraw('harbour-app', 's-3', RECEIVED_AT, auditEntry('s-3', 'session-withdrawn'))
    const seen = (one: SqliteEngine) =>
      one
        .sessionsBetween('harbour-app', 'HW-1', Date.parse('2026-03-03T00:00:00Z'), 9e12)
        .map(({ id, version }) => `${id} v${version}`)
    const expected = ['s-1 v2', 't-s-1 v2', 's-2 v3']
    expect(seen(first)).toEqual(expected)
    first.close()
    for (let stopAfter = 1; stopAfter < 12; stopAfter += 1) {
      const stopped = engine()
      for (let step = 0; step < stopAfter; step += 1) {
        stopped.mergeStep()
        expect(seen(stopped)).toEqual(expected)
      }
      stopped.close()
    }
    const last = engine()
    while (last.mergeStep());
    expect(seen(last)).toEqual(expected)
    expect(last.sessionsBetween('harbour-app', 'HW-1', 0, 9e12)).toHaveLength(4500)
    last.close()
    const database = new Database(temporary.file)
    expect(
      database
        .prepare(
          'SELECT count(*) AS rows, count(DISTINCT id) AS ids, count(earlier_first_ms) AS changed FROM sitting',
        )
        .get(),
    ).toMatchObject({ rows: 4500, ids: 4500, changed: 4 })
    database.close()
  })

  it('leaves a merge alone that another process finished meanwhile', async () => {
    await temporary.store.close()
    const slow = engine()
    const records = Array.from({ length: 3000 }, (_, index) => sessionRecord({ id: `s-${index}` }))
    slow.accept(records)
    for (let step = 0; step < 8; step += 1) slow.mergeStep()
    const quick = engine()
    quick.correct(
      sessionRecord({ id: 's-2999', takenAt: '2026-03-20T06:41:00Z' }),
      auditEntry('x', 'session-corrected'),
    )
    while (quick.mergeStep());
    while (slow.mergeStep());
    expect(slow.sessionsBetween('harbour-app', 'HW-1', 0, 9e12)).toHaveLength(3000)
    expect(slow.sessionsBetween('harbour-app', 'HW-1', 0, 9e12).at(-1)).toMatchObject({ version: 2 })
    quick.close()
    slow.close()
    const database = new Database(temporary.file)
    expect(database.prepare('SELECT count(*) AS rows FROM sitting').get()).toMatchObject({ rows: 3000 })
    database.close()
  })

  it('queues sessions of before an enrolment once, merged or not', async () => {
    await temporary.store.close()
    const merging = engine()
    merging.accept([sessionRecord({ id: 'a' }), sessionRecord({ id: 'b' })])
    while (merging.mergeStep());
    merging.accept([sessionRecord({ id: 'c' })])
    expect(merging.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))).toMatchObject({ queued: 3 })
    while (merging.mergeStep());
    expect(merging.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))).toMatchObject({ queued: 0 })
    merging.close()
  })

  it('notices what another process wrote, and leaves the claims of that process alone', async () => {
    const { store } = temporary
    await store.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))
    await store.accept([sessionRecord({ id: 'a' })])
    expect(await store.claim(RECEIVED_MS, 60_000, 10)).toHaveLength(1)

    const other = engine()
    const claim = {
      call: 'claim',
      nowMs: RECEIVED_MS,
      leaseMs: 60_000,
      limit: 10,
      resting: [],
      marked: [],
      longestWaitMs: 60_000,
    } as const
    expect(other.writeDeliveries([claim])).toEqual([{ claimed: [], done: true }])
    expect(other.delivery(1)).toMatchObject({ state: 'claimed', uncertain: false })
    expect(other.accept([sessionRecord({ id: 'b', source: 'hill-app' })])).toEqual([
      { outcome: 'kept', seq: 2 },
    ])
    while (other.mergeStep());
    other.close()

    expect((await store.session('hill-app', 'b'))?.seq).toBe(2)
    const [again, next] = await store.accept([
      sessionRecord({ id: 'b', source: 'hill-app' }),
      sessionRecord({ id: 'c' }),
    ])
    expect([again?.outcome, next?.stored.seq]).toEqual(['same', 3])
    expect(verifyChain(await store.auditPage({ limit: 10 }))).toBeUndefined()
  })

  it('reads the queue and the lookup tables by index, whatever they have grown to', () => {
    const database = new Database(temporary.file)
    const plan = (statement: string) =>
      database
        .prepare<{ detail: string }>(`EXPLAIN QUERY PLAN ${statement}`)
        .all()
        .map(({ detail }) => detail)
        .join(' / ')
    const unsorted = (statement: string) => {
      const found = plan(statement)
      expect(found).not.toContain('TEMP B-TREE')
      return found
    }
    for (const far of ['<', '>']) {
      expect(
        unsorted(`SELECT * FROM outbox WHERE ready = 1 AND destination = 'a' AND urgent = 0 AND next_ms ${far} 1
          ORDER BY next_ms, id LIMIT 1`),
      ).toContain(`outbox_ready (destination=? AND urgent=? AND next_ms${far}?)`)
    }
    expect(
      plan(`SELECT id FROM outbox WHERE source_no = 1 AND subject = 'a' AND destination = 'b' AND ${OPEN}
        AND state = 'waiting' AND ready = 1 AND uncertain = 1 AND attempts < 3`),
    ).toContain('outbox_open (source_no=? AND subject=? AND destination=? AND state=?)')
    expect(
      plan("SELECT min(destination) AS destination FROM outbox WHERE ready = 1 AND destination > 'a'"),
    ).toContain('SEARCH outbox USING COVERING INDEX outbox_ready (destination>?)')
    expect(
      unsorted(`SELECT id FROM outbox WHERE source_no = 1 AND subject = 'a' AND destination = 'b'
        AND ${OPEN} ORDER BY state, urgent DESC, id LIMIT 1`),
    ).toContain('COVERING INDEX outbox_open (source_no=? AND subject=? AND destination=?)')
    const ofState = "state <> 'settled' AND state = ?"
    expect(
      unsorted(
        `SELECT * FROM outbox WHERE id > ? AND id <= ? AND ${ofState} AND destination = ? ORDER BY id LIMIT ?`,
      ),
    ).toContain('outbox_unsettled (state=? AND destination=? AND id>? AND id<?)')
    expect(plan(`SELECT min(destination) FROM outbox WHERE ${ofState} AND destination > ?`)).toContain(
      'COVERING INDEX outbox_unsettled (state=? AND destination>?)',
    )
    expect(
      unsorted(`SELECT * FROM outbox WHERE uncertain = 1 AND state <> 'claimed' AND destination = ? AND next_ms > ?
        ORDER BY next_ms DESC LIMIT ?`),
    ).toContain('outbox_uncertain (destination=? AND next_ms>?)')
    expect(unsorted('SELECT min(destination) FROM outbox WHERE uncertain = 1 AND destination > ?')).toContain(
      'COVERING INDEX outbox_uncertain (destination>?)',
    )
    expect(
      unsorted('SELECT * FROM outbox WHERE id > ? AND id <= ? AND last_problem = ? ORDER BY id LIMIT ?'),
    ).toContain('outbox_problem (last_problem=? AND id>? AND id<?)')
    expect(
      unsorted('SELECT * FROM outbox WHERE id > ? AND id <= ? AND source_no = ? ORDER BY id LIMIT ?'),
    ).toContain('INTEGER PRIMARY KEY (rowid>? AND rowid<?)')
    for (const meant of ['+source_no = ?', "state = 'open'", 'withdrawn = 1', 'protocol = ?']) {
      expect(
        unsorted(`SELECT * FROM period WHERE id > ? AND id <= ? AND ${meant} ORDER BY id LIMIT ?`),
      ).toContain('PRIMARY KEY (id>? AND id<?)')
    }
    expect(
      plan('SELECT * FROM period WHERE id > ? AND source_no = ? AND subject = ? ORDER BY id LIMIT ?'),
    ).toContain('period_of (source_no=? AND subject=?)')
    expect(
      plan(`SELECT * FROM outbox WHERE source_no = ? AND subject = ? AND destination = ?
        AND state IN ('parked', 'given-up') ORDER BY id`),
    ).toContain('outbox_stuck')
    for (const asked of ['count(*)', 'min(id)']) {
      expect(plan(`SELECT ${asked} FROM outbox WHERE ${ofState} AND destination = ?`)).toContain(
        'COVERING INDEX outbox_unsettled (state=? AND destination=?)',
      )
    }
    expect(plan('DELETE FROM clinic_said WHERE tried_ms < ?')).toContain('clinic_said_tried')
    expect(plan('SELECT count(*) AS rows FROM inbox WHERE replaces IS NOT NULL')).toContain('inbox_replaces')
    for (const [of, index] of [
      ["kind = 'attention' AND moved_from IS NULL", 'outbox_attention'],
      ["kind = 'average'", 'outbox_average'],
      ["kind = 'session' AND moved_from = 'y'", 'outbox_moved'],
    ]) {
      expect(
        plan(`SELECT destination FROM outbox WHERE ${of} AND about = 'x' AND destination = 'z'`),
      ).toContain(index)
    }
    expect(
      plan(
        "SELECT part FROM outbox WHERE kind = 'attention' AND moved_from IS NULL AND about = ? AND destination = ?",
      ),
    ).toContain('INDEX outbox_attention (about=?')
    expect(
      plan("SELECT * FROM period WHERE source_no = 1 AND subject = 'a' ORDER BY first_day, id"),
    ).toContain('period_of')
    expect(plan("SELECT * FROM period WHERE state = 'open' AND due_ms <= 1 ORDER BY due_ms, id")).toContain(
      'period_open',
    )
    database.close()
  })
})
