import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { HeldResource } from '../../../core/outbox/entry.ts'
import { Database } from '../connection/database.ts'
import { migrate } from '../connection/migrate.ts'
import { SourceNumbers } from '../registry/source-numbers.ts'
import { HeldRows } from './held-rows.ts'
import { writtenHeld } from './written-held.ts'

let folder: string
let database: Database
let rows: HeldRows

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'held-'))
  database = new Database(join(folder, 'store.db'))
  migrate(database)
  rows = new HeldRows(database, new SourceNumbers(database))
})

afterEach(() => {
  database.close()
  rmSync(folder, { recursive: true })
})

const FROM = {
  id: 1,
  destination: 'clinic',
  source: 'harbour-app',
  subject: 'HW-1',
  kind: 'session',
  about: 'a-session',
} as const
const uuid = (last: number) => `00000000-0000-5000-8000-00000000000${last}`
const observation = (last: number, more: Partial<HeldResource> = {}): HeldResource => ({
  uuid: uuid(last),
  type: 'Observation',
  ...more,
})

function save(...held: readonly HeldResource[]): void {
  database.write(() => rows.save(FROM, writtenHeld(held)))
}

function known(...uuids: readonly string[]): readonly HeldResource[] {
  return [...database.read(() => rows.held('clinic', [FROM], uuids)).values()]
}

/** As an earlier release kept everything. */
function keptEarlier(last: number, id: string): void {
  database
    .prepare('INSERT INTO held VALUES (?, ?, ?, ?, ?)')
    .run('clinic', Buffer.from(uuid(last).replaceAll('-', ''), 'hex'), 'Observation', id, '1')
}

function changesOf(work: () => void): number {
  const total = database.prepare<{ total: number }>('SELECT total_changes() AS total')
  const before = total.get()?.total ?? 0
  work()
  return (total.get()?.total ?? 0) - before
}

describe('the rows of what a destination holds', () => {
  it('are one for an entry, however many resources it has', () => {
    save(observation(5))
    expect(changesOf(() => save(...[1, 2, 3, 4].map((last) => observation(last))))).toBe(1)
    expect(known(...[1, 2, 3, 4].map(uuid))).toHaveLength(4)
  })

  it('have what an earlier release kept of each resource, until something newer is learnt', () => {
    keptEarlier(1, 'obs-1')
    keptEarlier(2, 'obs-2')
    save(observation(2), observation(3))
    expect(known(uuid(1), uuid(2), uuid(3))).toEqual([
      observation(1, { id: 'obs-1', version: '1' }),
      observation(2, { id: 'obs-2' }),
      observation(3),
    ])
  })

  it('are not written again for a monitor of which nothing new was learnt', () => {
    const monitor: HeldResource = { uuid: uuid(1), type: 'Device', id: 'dev-1' }
    expect(changesOf(() => save({ ...monitor, version: '1' }))).toBe(1)
    // Its version may be another one by now.
    expect(changesOf(() => save({ uuid: uuid(1), type: 'Device' }))).toBe(1)
    expect(changesOf(() => save({ uuid: uuid(1), type: 'Device' }))).toBe(0)
    expect(changesOf(() => save(monitor))).toBe(0)
    expect(known(uuid(1))).toEqual([monitor])
  })

  it('are forgotten some at a time, with what was kept of each resource, and none of another destination', () => {
    const many = (destination: string) => `
      WITH RECURSIVE numbered (number) AS (SELECT 1 UNION ALL SELECT number + 1 FROM numbered WHERE number < 6000)
      INSERT INTO held_by_entry SELECT '${destination}', 1, 'HW-' || number, '', number, '[]' FROM numbered;`
    database.run(many('clinic') + many('later-clinic'))
    keptEarlier(1, 'obs-1')
    const left = database.prepare<{ destination: string; count: number }>(`
      SELECT destination, count(*) AS count FROM (
        SELECT destination FROM held_by_entry UNION ALL SELECT destination FROM held) GROUP BY destination`)

    expect(database.write(() => rows.forgetSome('clinic'))).toBe(true)
    expect(left.all()).toEqual([
      { destination: 'clinic', count: 1_001 },
      { destination: 'later-clinic', count: 6_000 },
    ])
    expect(database.write(() => rows.forgetSome('clinic'))).toBe(false)
    expect(left.all()).toEqual([{ destination: 'later-clinic', count: 6_000 }])
  })

  it('are gone when the transaction that saved them was undone', () => {
    const undone = () =>
      database.write(() => {
        rows.save(FROM, writtenHeld([observation(1)]))
        throw new Error('undo')
      })
    expect(undone).toThrow('undo')
    expect(known(uuid(1))).toEqual([])
  })
})
