import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { Database } from './database.ts'

let folder: string
let database: Database
let other: Database

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'database-'))
  database = new Database(join(folder, 'store.db'))
  database.run('CREATE TABLE number (value INTEGER) STRICT')
  other = new Database(join(folder, 'store.db'))
})

afterEach(() => {
  database.close()
  other.close()
  rmSync(folder, { recursive: true })
})

function add(to: Database, value: number): void {
  to.write(() => to.prepare('INSERT INTO number VALUES (?)').run(value))
}

function count(): number {
  const counted = database.prepare<{ count: number }>('SELECT count(*) AS count FROM number')
  return database.read(() => counted.get()?.count ?? -1)
}

describe('a write that fails', () => {
  it('is remembered until one succeeds, and counted by its code, where the next one would fail as well', () => {
    database.run('PRAGMA max_page_count = 3')
    const rows = () => {
      for (let row = 0; row < 2_000; row += 1) database.prepare('INSERT INTO number VALUES (?)').run(row)
    }
    expect(() => database.write(rows)).toThrow(/full/)
    expect(database.failedWrite).toBe('SQLITE_FULL')
    database.run('PRAGMA query_only = 1')
    expect(() => database.tryWrite()).toThrow(/readonly/)
    expect(database.failedWrite).toBe('SQLITE_READONLY')
    database.run('PRAGMA query_only = 0')
    database.tryWrite()
    expect(database.failedWrite).toBeUndefined()
    expect(database.writeFailures).toEqual({ SQLITE_FULL: 1, SQLITE_READONLY: 1 })
  })

  it('is not remembered where it lies in what was to be written', () => {
    expect(() => database.write(() => database.run("INSERT INTO number VALUES ('x')"))).toThrow(/TEXT/)
    expect([database.failedWrite, database.writeFailures]).toEqual([undefined, {}])
  })
})

describe('reads together', () => {
  it('see one unchanging state, and the newest one once they are over', () => {
    const seen = database.readsTogether(() => {
      const before = count()
      add(other, 1)
      return [before, count()]
    })
    expect(seen).toEqual([0, 0])
    expect(count()).toBe(1)
  })

  it('see what is written between them, by whomever', () => {
    const seen = database.readsTogether(() => {
      const before = count()
      add(other, 1)
      add(database, 2)
      return [before, count()]
    })
    expect(seen).toEqual([0, 2])
  })

  it('go on after one that fails', () => {
    const seen = database.readsTogether(() => {
      expect(() => database.read(() => database.prepare('SELECT value FROM nowhere'))).toThrow('nowhere')
      return count()
    })
    expect(seen).toBe(0)
    add(database, 1)
    expect(count()).toBe(1)
  })

  it('are over when their work fails', () => {
    const work = () =>
      database.readsTogether(() => {
        count()
        throw new Error('no more')
      })
    expect(work).toThrow('no more')
    add(other, 1)
    expect(count()).toBe(1)
  })

  it('make anew what was remembered of the file, once it was changed by another', () => {
    let refreshed = 0
    database.whenStale(() => {
      refreshed += 1
    })
    database.readsTogether(() => [count(), count()])
    expect(refreshed).toBe(1)
    add(other, 1)
    database.readsTogether(() => [count(), count()])
    expect(refreshed).toBe(2)
  })

  it('may end with the file closed', () => {
    database.readsTogether(() => {
      count()
      database.close()
    })
    expect(() => count()).toThrow()
  })
})
