import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { Database } from '../connection/database.ts'
import { migrate } from '../connection/migrate.ts'
import { WaitingRows } from './waiting-rows.ts'

/** More than one look goes through. */
const SENDERS = 4_500
const WAITING = new Set(['S-00003', 'S-02500', 'S-04499'])

describe('a look at who waits for an enrolment', () => {
  const folder = mkdtempSync(join(tmpdir(), 'waiting-rows-'))
  let database: Database
  let rows: WaitingRows
  beforeAll(() => {
    database = new Database(join(folder, 'gateway.db'))
    migrate(database)
    database.write(() => {
      database.run("INSERT INTO source_number VALUES (1, 'harbour-app')")
      const inbox = database.prepare(
        "INSERT INTO inbox VALUES (?, 1, ?, ?, ?, 0, '2026-03-02T14:00:00Z', '', NULL, '{}', 1, 0, NULL)",
      )
      const sitting = database.prepare("INSERT INTO sitting VALUES (1, ?, 0, ?, 0, ?, NULL, NULL, '')")
      const enrolment = database.prepare(
        "INSERT INTO enrolment VALUES (1, ?, 'urn:x', 'p', 'UTC', 'clinic', NULL)",
      )
      for (let seq = 1; seq <= SENDERS; seq += 1) {
        const subject = `S-${String(seq - 1).padStart(5, '0')}`
        inbox.run(seq, subject, subject, subject)
        sitting.run(subject, subject, seq)
        if (!WAITING.has(subject)) enrolment.run(subject)
      }
    })
    rows = new WaitingRows(database)
  })
  afterAll(() => {
    database.close()
    rmSync(folder, { recursive: true, force: true })
  })

  it('tells where to go on, and in the end everyone who waits', () => {
    const found: string[] = []
    let looks = 0
    for (let after: string | undefined = ''; after !== undefined; looks += 1) {
      const { rows: waiting, through } = rows.look(1, after, 100, SENDERS)
      found.push(...waiting.map(({ subject }) => subject))
      after = through
    }
    expect(found).toEqual([...WAITING])
    expect(looks).toBe(3)
  })

  it('stops at a full page, and goes on after its last', () => {
    expect(rows.look(1, '', 1, SENDERS)).toMatchObject({
      rows: [{ subject: 'S-00003' }],
      through: 'S-00003',
    })
    expect(rows.look(1, 'S-04000', 1, SENDERS).rows).toMatchObject([{ subject: 'S-04499', sessions: 1 }])
  })

  it('does not see what the merge has not passed', () => {
    expect(rows.look(1, '', 100, 2_000).rows.map(({ subject }) => subject)).toEqual(['S-00003'])
  })

  it('ends after one who sent very much', () => {
    database.write(() => {
      const inbox = database.prepare(
        "INSERT INTO inbox VALUES (?, 1, ?, ?, 'S-00003', 0, '2026-03-02T14:00:00Z', '', NULL, '{}', 1, 0, NULL)",
      )
      const sitting = database.prepare(
        "INSERT INTO sitting VALUES (1, 'S-00003', 1, ?, 1, ?, NULL, NULL, '')",
      )
      for (let seq = SENDERS + 1; seq <= SENDERS + 2_000; seq += 1) {
        inbox.run(seq, String(seq), String(seq))
        sitting.run(String(seq), seq)
      }
    })
    expect(rows.look(1, 'S-00001', 100, SENDERS + 2_000)).toMatchObject({
      rows: [{ subject: 'S-00003', sessions: 2_001 }],
      through: 'S-00003',
    })
  })
})
