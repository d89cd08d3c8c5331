import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { uuidV5 } from '../../core/basics/uuid-v5.ts'
import { NAMESPACE } from '../../core/fhir/identifiers.ts'
import type { HeldResource } from '../../core/outbox/entry.ts'
import { Database } from './database.ts'
import { HeldRows } from './held-rows.ts'
import { migrate } from './migrate.ts'

let folder: string
let database: Database
let rows: HeldRows

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'held-'))
  open()
})

afterEach(() => {
  database.close()
  rmSync(folder, { recursive: true })
})

function open(): void {
  database = new Database(join(folder, 'store.db'))
  migrate(database)
  rows = new HeldRows(database)
}

function reopen(): void {
  database.close()
  open()
}

function learnt(number: number, more: Partial<HeldResource> = {}): HeldResource {
  return { uuid: uuidV5(NAMESPACE, String(number)), type: 'Observation', ...more }
}

function save(...held: readonly HeldResource[]): void {
  database.write(() => rows.save('clinic', held))
}

/** Enough to be taken over into the sorted table. */
function saveMany(): readonly HeldResource[] {
  const many = Array.from({ length: 4_096 }, (_, number) => learnt(1_000 + number, { id: `m-${number}` }))
  save(...many)
  return many
}

function known(destination: string, ...held: readonly HeldResource[]): readonly HeldResource[] {
  const uuids = held.map(({ uuid }) => uuid)
  return [...database.read(() => rows.held(destination, uuids)).values()]
}

function countOf(table: string): number {
  return database.prepare<{ count: number }>(`SELECT count(*) AS count FROM ${table}`).get()?.count ?? -1
}

describe('what destinations are known to hold', () => {
  it('is known from when it was saved, also after the file was closed', () => {
    const held = learnt(1, { id: '7', version: '2' })
    save(held)
    expect(known('clinic', held, learnt(2))).toEqual([held])
    reopen()
    expect(known('clinic', held, learnt(2))).toEqual([held])
    expect(known('other', held)).toEqual([])
  })

  it('is the same once it was taken over into the sorted table', () => {
    const held = learnt(1, { id: '7', version: '2' })
    save(held)
    const many = saveMany()
    expect([countOf('held'), countOf('held_lately')]).toEqual([4_097, 0])
    expect(known('clinic', held, ...many)).toEqual([held, ...many])
    reopen()
    expect(known('clinic', held, ...many)).toEqual([held, ...many])
  })

  it.each([
    ['while both are late', () => undefined],
    ['once the first was taken over', () => void saveMany()],
  ])('keeps an id that is not told again, and no version, %s', (_when, between) => {
    save(learnt(1, { id: '7', version: '2' }))
    between()
    save(learnt(1))
    expect(known('clinic', learnt(1))).toEqual([learnt(1, { id: '7' })])
    saveMany()
    expect(known('clinic', learnt(1))).toEqual([learnt(1, { id: '7' })])
    save(learnt(1, { id: '8', version: '1' }))
    expect(known('clinic', learnt(1))).toEqual([learnt(1, { id: '8', version: '1' })])
  })

  it('adds only what is not known, late or taken over', () => {
    save(learnt(1, { id: '7', version: '2' }))
    const late = [learnt(1, { id: 'x' }), learnt(2, { id: 'y' })]
    database.write(() => rows.add('clinic', late))
    expect(known('clinic', ...late)).toEqual([learnt(1, { id: '7', version: '2' }), learnt(2, { id: 'y' })])
    saveMany()
    database.write(() => rows.add('clinic', [learnt(1, { id: 'x' })]))
    expect(known('clinic', learnt(1))).toEqual([learnt(1, { id: '7', version: '2' })])
  })

  it('is forgotten for one destination, late or taken over', () => {
    save(learnt(1))
    saveMany()
    save(learnt(2))
    database.write(() => rows.save('other', [learnt(3)]))
    database.write(() => rows.forget('clinic'))
    expect(known('clinic', learnt(1), learnt(2), learnt(1_000))).toEqual([])
    expect(known('other', learnt(3))).toEqual([learnt(3)])
    reopen()
    expect(known('clinic', learnt(1), learnt(2), learnt(1_000))).toEqual([])
  })

  it('is not known when the transaction that saved it was undone', () => {
    save(learnt(1))
    const undone = () =>
      database.write(() => {
        rows.save('clinic', [learnt(2)])
        throw new Error('undo')
      })
    expect(undone).toThrow('undo')
    expect(known('clinic', learnt(1), learnt(2))).toEqual([learnt(1)])
  })

  it('is known when another process has saved it', () => {
    const other = new Database(join(folder, 'store.db'))
    const others = new HeldRows(other)
    expect(known('clinic', learnt(1))).toEqual([])
    other.write(() => others.save('clinic', [learnt(1)]))
    expect(known('clinic', learnt(1))).toEqual([learnt(1)])
    other.close()
  })

  it('refuses at once what is no UUID', () => {
    expect(() => save({ uuid: 'observation-7', type: 'Observation' })).toThrow('UUID')
    expect(known('clinic', learnt(1))).toEqual([])
  })
})
