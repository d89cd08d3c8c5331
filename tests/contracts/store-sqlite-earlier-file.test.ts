import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { Database } from '../../src/shell/store/connection/database.ts'
import { migrate } from '../../src/shell/store/connection/migrate.ts'
import { first } from '../../src/shell/store/connection/migrations/0001-first.ts'
import { versionsAndSittings } from '../../src/shell/store/connection/migrations/0002-versions-and-sittings.ts'
import { openSqliteStore } from '../../src/shell/store/open-sqlite-store.ts'
import { idKey, uuidKey } from '../../src/shell/store/sittings/lookup-keys.ts'
import { openSqliteEngine } from '../../src/shell/store/sqlite-engine.ts'
import { shippedProtocol } from '../support/shipped-profiles.ts'
import { auditEntry, DELIVERED, RECEIVED_AT, RECEIVED_MS, sessionRecord } from './store-builders.ts'

const ATTENTION = new Set<string>()
const AT_ONCE = new Set(['clinic'])

/** Sessions on seven mornings in UTC, the first five of which the old release had merged. */
const RECORDS = Array.from({ length: 7 }, (_, index) =>
  sessionRecord({ id: `s-${index}`, takenAt: `2026-03-0${index + 2}T15:41:00Z`, systolic: 130 + index }),
)
const MERGED = 5

/** A file as the first release left it: sessions, a claimed and a settled delivery, and a period with its average. */
function firstReleaseFile(file: string): void {
  const database = new Database(file)
  migrate(database, [first])
  database.run(`INSERT INTO source_number VALUES (1, 'harbour-app');
    INSERT INTO source VALUES (1, 'Harbour');
    INSERT INTO enrolment VALUES (1, 'HW-1', 'urn:example:clinic', 'P-1', 'America/Denver', 'clinic', 31.5);
    INSERT INTO period VALUES ('p1', 1, 'HW-1', 'nice-ng136-home', '2026-03-02', '2026-03-08', NULL, 'closed', 1000);
    INSERT INTO period VALUES ('p2', 1, 'HW-1', 'nice-ng136-home', '2026-03-09', '2026-03-15', 'left', 'open', 2000);
    INSERT INTO average VALUES ('p1', '${RECEIVED_AT}', '{"resourceType":"Bundle"}', '{"readings":4}');
    UPDATE merged SET seq = ${MERGED};`)
  const inbox = database.prepare('INSERT INTO inbox VALUES (?, 1, ?, ?, ?, ?, ?, ?, NULL, ?)')
  const outbox = database.prepare(
    `INSERT INTO outbox VALUES (?, 'clinic', 1, 'HW-1', ?, ?, ?, ?, 0, 1, 1, ?, NULL)`,
  )
  const reading = database.prepare('INSERT INTO reading VALUES (1, ?, ?, ?, 1, NULL, NULL, NULL)')
  for (const [index, { id, uuid, subject, takenMs, receivedAt, sha256, raw }] of RECORDS.entries()) {
    const seq = index + 1
    inbox.run(seq, id, uuid, subject, takenMs, receivedAt, sha256, raw)
    const state = index === 0 ? 'settled' : index === 1 ? 'claimed' : 'waiting'
    outbox.run(seq, 'session', uuid, seq, state, index === 1 ? 1 : 0)
    if (seq > MERGED) continue
    reading.run(subject, takenMs, seq)
    database.prepare('INSERT INTO session_key VALUES (?, ?)').run(idKey('harbour-app', id), seq)
    database.prepare('INSERT INTO uuid_key VALUES (?, ?)').run(uuidKey(uuid), seq)
  }
  outbox.run(8, 'average', 'p1', null, 'waiting', 0)
  database.close()
}

/**
 * A file as the second release left it: entries in every state it had, tried and not tried, of two patients, and an
 * average of the second revision.
 */
function secondReleaseFile(file: string): void {
  const database = new Database(file)
  migrate(database, [first, versionsAndSittings])
  database.run(`INSERT INTO source_number VALUES (1, 'harbour-app');
    INSERT INTO period VALUES ('p1', 1, 'HW-1', 'nice-ng136-home', '2026-03-02', '2026-03-08', NULL, 'closed', 1000, 2, 7);
    INSERT INTO average VALUES ('p1', 2, '${RECEIVED_AT}', '{"resourceType":"Bundle"}', '{"readings":4}');`)
  const outbox = database.prepare(
    `INSERT INTO outbox (id, destination, source_no, subject, kind, part, urgent, about, session_seq, state, attempts,
      due_ms, next_ms, ready, last_problem) VALUES (?, 'clinic', 1, ?, 'session', NULL, ?, ?, NULL, ?, ?, ?, ?, ?, ?)`,
  )
  outbox.run(1, 'HW-1', 0, 'a', 'settled', 2, 1000, 1000, 0, 'CLINIC_BUSY')
  outbox.run(2, 'HW-1', 0, 'b', 'given-up', 1, 1000, 1000, 0, 'PATIENT_NOT_MATCHED')
  outbox.run(3, 'HW-1', 0, 'c', 'waiting', 3, 9000, 9000, 1, 'CLINIC_UNREACHABLE')
  outbox.run(4, 'HW-1', 0, 'd', 'waiting', 0, 1000, 1000, 0, null)
  outbox.run(5, 'HW-2', 0, 'e', 'claimed', 0, 1000, 5000, 1, null)
  outbox.run(6, 'HW-2', 1, 'f', 'waiting', 0, 1000, 1000, 0, null)
  database.close()
}

describe('a store made by the second release', () => {
  let folder: string
  let file: string
  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), 'gateway-earlier-'))
    file = join(folder, 'gateway.db')
    secondReleaseFile(file)
  })
  afterEach(() => rm(folder, { recursive: true, force: true }))

  const open = () => openSqliteStore({ file, readingsAtOnce: AT_ONCE, attentionAtOnce: ATTENTION })

  it('keeps every entry, and doubts what was tried or claimed and not settled', async () => {
    const store = await open()
    const entries = await store.deliveryPage({ limit: 20 })
    expect(
      entries.map(({ id, state, attempts, dueMs, uncertain }) => [id, state, attempts, dueMs, uncertain]),
    ).toEqual([
      [1, 'settled', 2, 1000, false],
      [2, 'given-up', 1, 1000, true],
      [3, 'waiting', 3, 9000, true],
      [4, 'waiting', 0, 1000, false],
      [5, 'waiting', 0, 5000, true],
      [6, 'waiting', 0, 1000, false],
    ])
    expect((await store.figures()).outbox).toEqual({
      waiting: 4,
      claimed: 0,
      settled: 1,
      parked: 0,
      'given-up': 1,
    })
    await store.close()
  })

  it('goes on in the order of each patient, urgent ones first but for what nobody heard of', async () => {
    const store = await open()
    const claimed = async (nowMs: number) => (await store.claim(nowMs, 100_000, 9)).map(({ id }) => id)
    const settle = (id: number) => store.settle({ id, claims: 1 }, DELIVERED, auditEntry('x'))
    expect(await claimed(8999)).toEqual([5])
    expect(await claimed(9000)).toEqual([3])
    await settle(5)
    await settle(3)
    expect(await claimed(9000)).toEqual([6, 4])
    expect(await store.retryDeliveries({ id: 2 }, 9000, auditEntry('x'))).toBe(1)
    await settle(4)
    expect(await claimed(9000)).toEqual([2])
    await store.close()
  })

  it('keeps its averages, which were rendered in no form that is named, and one for nobody knows whom', async () => {
    const store = await open()
    expect(await store.issuedAverages('p1')).toEqual([
      {
        period: 'p1',
        revision: 2,
        issued: RECEIVED_AT,
        bundle: '{"resourceType":"Bundle"}',
        summary: '{"readings":4}',
        destination: '',
      },
    ])
    await store.close()
  })
})

describe('a store made by the first release', () => {
  let folder: string
  let file: string
  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), 'gateway-earlier-'))
    file = join(folder, 'gateway.db')
    firstReleaseFile(file)
  })
  afterEach(() => rm(folder, { recursive: true, force: true }))

  const open = () => openSqliteStore({ file, readingsAtOnce: AT_ONCE, attentionAtOnce: ATTENTION })

  it('opens with every session, as the first version of it', async () => {
    const store = await open()
    for (const [index, record] of RECORDS.entries()) {
      const kept = { ...record, seq: index + 1, version: 1, withdrawn: false }
      expect(await store.session('harbour-app', record.id)).toEqual(kept)
      expect(await store.sessionVersions(record.uuid)).toEqual([kept])
    }
    const ids = (await store.sessionsBetween('harbour-app', 'HW-1', 0, 9e12)).map(({ id }) => id)
    expect(ids).toEqual(RECORDS.map(({ id }) => id))
    expect(await store.figures()).toMatchObject({ sessions: 7, periods: 2, averages: 1, enrolments: 1 })
    await store.close()
  })

  it('has not merged its sittings when it is open, and says the same while and after it does', () => {
    const engine = openSqliteEngine({ file, readingsAtOnce: AT_ONCE, attentionAtOnce: ATTENTION })
    const seen = () => [
      engine.sessionsBetween('harbour-app', 'HW-1', 0, 9e12),
      engine
        .accept([RECORDS[2] ?? RECORDS[0]].flatMap((record) => record ?? []))
        .map(({ outcome }) => outcome),
    ]
    expect(engine.unmerged).toBe(7)
    const before = seen()
    for (; engine.mergeStep(); ) expect(seen()).toEqual(before)
    expect(engine.unmerged).toBe(0)
    expect(seen()).toEqual(before)
    engine.close()
  })

  it('keeps its periods and averages: the one issued is the first of its period, for whom it was queued', async () => {
    const store = await open()
    const [closed, next] = await store.periodsOf('harbour-app', 'HW-1')
    expect(closed).toMatchObject({ id: 'p1', state: 'closed', revision: 1 })
    expect(closed).not.toHaveProperty('readThrough')
    expect(next).toMatchObject({ id: 'p2', state: 'open', revision: 0, arm: 'left' })
    expect(await store.issuedAverages('p1')).toEqual([
      {
        period: 'p1',
        revision: 1,
        issued: RECEIVED_AT,
        bundle: '{"resourceType":"Bundle"}',
        summary: '{"readings":4}',
        destination: 'clinic',
      },
    ])
    await store.close()
  })

  it('keeps its queue, in order, and takes urgent entries ahead of it', async () => {
    const store = await open()
    const entries = await store.deliveryPage({ limit: 20 })
    expect(entries.map(({ id, kind, state, urgent }) => [id, kind, state, urgent])).toEqual([
      [1, 'session', 'settled', false],
      ...[2, 3, 4, 5, 6, 7].map((id) => [id, 'session', 'waiting', false]),
      [8, 'average', 'waiting', false],
    ])
    expect(entries.at(-1)?.part).toBe('1')
    const { uuid = '' } = RECORDS[6] ?? {}
    await store.raiseAttention(uuid, 'very-high', 'clinic', RECEIVED_MS, auditEntry(uuid, 'attention-raised'))
    // Nobody heard what became of this one.
    const [unheard] = await store.claim(RECEIVED_MS, 1000, 9)
    expect(unheard).toMatchObject({ id: 2, uncertain: true })
    await store.settle({ id: 2, claims: 1 }, DELIVERED, auditEntry('x'))
    const [urgent] = await store.claim(RECEIVED_MS, 1000, 9)
    expect(urgent).toMatchObject({ id: 9, kind: 'attention' })
    await store.close()
  })

  it('takes what was under way for uncertain, and knows no clinic’s words, holdings or ways', async () => {
    const store = await open()
    expect(await store.delivery(1)).toMatchObject({ state: 'settled', uncertain: false, claims: 0 })
    expect(await store.delivery(1)).not.toHaveProperty('settledMs')
    expect(await store.delivery(2)).toEqual({
      id: 2,
      held: [],
      destination: 'clinic',
      source: 'harbour-app',
      subject: 'HW-1',
      kind: 'session',
      urgent: false,
      about: RECORDS[1]?.uuid,
      state: 'waiting',
      attempts: 0,
      claims: 0,
      queuedMs: 1,
      dueMs: 1,
      uncertain: true,
      begun: true,
    })
    expect(await store.delivery(3)).toMatchObject({ state: 'waiting', uncertain: false, queuedMs: 1 })
    expect(await store.deliverySummary()).toEqual([
      {
        destination: 'clinic',
        entries: { waiting: 7, claimed: 0, settled: 1, parked: 0, 'given-up': 0 },
        oldestQueuedMs: 1,
      },
    ])
    expect(await store.routes()).toEqual([])
    expect(await store.held('clinic', [], [RECORDS[0]?.uuid ?? ''])).toEqual(new Map())
    await store.close()
  })

  it('takes everything in it for followed, and can be corrected', async () => {
    const store = await open()
    expect(await store.unfollowed(10)).toBeUndefined()
    const moved = sessionRecord({ id: 's-0', takenAt: '2026-03-20T15:41:00Z' })
    const correction = await store.correct(moved, auditEntry('s-0', 'session-corrected'))
    expect(correction).toMatchObject({ outcome: 'corrected', stored: { seq: 8, version: 2 } })
    expect(await store.unfollowed(10)).toMatchObject({
      throughSeq: 8,
      people: [{ fromMs: RECORDS[0]?.takenMs, toMs: moved.takenMs }],
    })
    await store.close()
  })

  it('averages what it holds', async () => {
    const store = await open()
    const request = {
      protocol: shippedProtocol('nice-ng136-home'),
      firstDay: '2026-03-02',
      lastDay: '2026-03-08',
    }
    const found = []
    for await (const batch of store.sweep(request)) found.push(...batch)
    const total = BigInt(131 + 132 + 133 + 134 + 135 + 136) * 133_322_000n
    expect(found).toMatchObject([
      { subject: 'HW-1', received: 7, used: 6, days: 6, mean: { systolic: { total, count: 6n } } },
    ])
    await store.close()
  })
})
