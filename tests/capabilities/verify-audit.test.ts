import { randomUUID } from 'node:crypto'
import { existsSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { DatabaseSync } from '@photostructure/sqlite'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { AuditRow } from '../../src/core/audit/audit-entry.ts'
import { chainHash } from '../../src/core/audit/chain.ts'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { auditEntry } from '../contracts/store-builders.ts'
import { ask } from '../support/ask.ts'
import { openDoor } from '../support/open-door.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'
import { type TemporaryStore, temporaryStore } from '../support/temporary-store.ts'

/** More than are looked at in one piece. */
const ROWS = 1_203

describe('audit verify', () => {
  let temporary: TemporaryStore
  beforeAll(async () => {
    temporary = await temporaryStore()
    await Promise.all(
      Array.from({ length: ROWS }, (_, index) => temporary.store.recordAudit(auditEntry(`p${index}`))),
    )
  })
  afterAll(() => temporary.remove())

  async function verify(...words: string[]) {
    const at = recordedTerminal()
    return { code: await runCommandLine(['audit', 'verify', ...words], at, openGateway, '0.0.0'), at }
  }

  /** A copy of the store in which somebody did something by hand. */
  async function copyWith(statement: string): Promise<string> {
    const copy = join(dirname(temporary.file), `copy-${randomUUID()}.db`)
    for (const [file, sql] of [
      [temporary.file, `VACUUM INTO '${copy}'`],
      [copy, statement],
    ] as const) {
      const connection = new DatabaseSync(file)
      connection.exec(sql)
      connection.close()
    }
    return copy
  }

  it('finds the whole trail intact while the store is open elsewhere, and tells its last hash', async () => {
    const { code, at } = await verify('--json', temporary.file)
    const last = (await temporary.store.auditPage({ after: String(ROWS - 1), limit: 1 }))[0]
    expect(JSON.parse(at.output())).toEqual({ intact: true, rows: ROWS, hash: last?.hash })
    expect(code).toBe(0)
  })

  it.each([
    ["UPDATE audit SET actor = 'nobody' WHERE seq = 5; DELETE FROM audit WHERE seq = 9", 5, 'changed'],
    ['DELETE FROM audit WHERE seq = 1100', 1100, 'missing'],
    ['DELETE FROM audit WHERE seq <= 600', 1, 'missing'],
    [`UPDATE audit SET detail = 'no JSON' WHERE seq = 501`, 501, 'changed'],
    [`UPDATE audit SET hash = '${'0'.repeat(64)}' WHERE seq = ${ROWS}`, ROWS, 'changed'],
  ])('ends with 1 after %s, at row %i, which it says is %s', async (statement, seq, what) => {
    const copy = await copyWith(statement)
    const { code, at } = await verify('--json', copy)
    expect(code).toBe(1)
    expect(JSON.parse(at.output())).toMatchObject({ intact: false, rows: seq - 1, broken: { seq, what } })
    const told = await verify(copy)
    expect(told.at.output()).toContain(
      what === 'missing' ? `row ${seq} is missing` : `row ${seq} was changed`,
    )
  })

  it.each(['-1', '0', '-9223372036854775808'])(
    'ends with 1 after a row was added as number %s',
    async (seq) => {
      const columns = 'at, actor, action, about, outcome, detail, hash'
      const copy = await copyWith(
        `INSERT INTO audit (seq, ${columns}) SELECT ${seq}, ${columns} FROM audit WHERE seq = 1`,
      )
      const { code, at } = await verify('--json', copy)
      expect(code).toBe(1)
      const told = Math.max(Number(seq), Number.MIN_SAFE_INTEGER)
      expect(JSON.parse(at.output())).toMatchObject({
        intact: false,
        rows: 0,
        broken: { seq: told, what: 'added' },
      })
      expect((await verify(copy)).at.output()).toContain(`row ${told} was added`)
    },
  )

  describe('beside a place that was kept', () => {
    /** The rows from this one on as somebody writes them anew, so that each follows from the one before. */
    async function rewrittenFrom(seq: number): Promise<string> {
      const copy = await copyWith(`UPDATE audit SET actor = 'nobody' WHERE seq = ${seq}`)
      const connection = new DatabaseSync(copy)
      const rows = connection.prepare('SELECT * FROM audit WHERE seq >= ? ORDER BY seq').all(seq - 1)
      const [before, ...anew] = rows as unknown as readonly (AuditRow & { readonly detail: never })[]
      let hash = before?.hash ?? ''
      for (const row of anew) {
        hash = chainHash(hash, row)
        connection.prepare('UPDATE audit SET hash = ? WHERE seq = ?').run(hash, row.seq)
      }
      connection.close()
      return copy
    }

    /** The last place that is told, as it is printed to be kept. */
    async function keptOf(file: string): Promise<string> {
      return (await verify(file)).at.output().split('\n')[1] ?? ''
    }

    it('finds rows cut off the end, which follow from one another all the same', async () => {
      const kept = await keptOf(temporary.file)
      const copy = await copyWith('DELETE FROM audit WHERE seq > 700')
      expect((await verify(copy)).code).toBe(0)
      const { code, at } = await verify('--json', '--kept', kept, copy)
      expect(code).toBe(1)
      expect(JSON.parse(at.output())).toMatchObject({
        intact: false,
        rows: 700,
        broken: { seq: 701, what: 'cut-off' },
      })
      expect((await verify('--kept', kept, copy)).at.output()).toContain('the rows from 701 on are no more')
    })

    it.each([ROWS, 1_000, 2])('finds a trail that was written anew from row %i on', async (seq) => {
      const kept = await keptOf(temporary.file)
      const copy = await rewrittenFrom(seq)
      expect((await verify(copy)).code).toBe(0)
      const { code, at } = await verify('--kept', kept, copy)
      expect(code).toBe(1)
      expect(at.output()).toContain(`row ${ROWS} has another hash than was kept`)
      expect(at.output()).toContain(`The ${ROWS - 1} rows before it follow from one another.`)
    })

    it.each([1, 499, 500, 501, ROWS])('finds one intact that has grown since, from row %i', async (seq) => {
      const [row] = await temporary.store.auditPage({ after: String(seq - 1), limit: 1 })
      const { code, at } = await verify('--kept', `${seq}:${row?.hash}`, temporary.file)
      expect(code).toBe(0)
      expect(at.output()).toContain(`row ${seq} is the one that was kept`)
    })

    it('is told how to give it when it is none', async () => {
      const { code, at } = await verify('--kept', 'yesterday', temporary.file)
      expect(code).toBe(2)
      expect(at.remarks()).toContain('the number of a row, a colon, its hash')
    })
  })

  it.each(['absent.db', join('nowhere', 'absent.db')])(
    'ends with 3 when there is no file %s, says so, and makes none',
    async (name) => {
      const absent = join(dirname(temporary.file), name)
      const settings = join(dirname(temporary.file), 'absent.json')
      writeFileSync(settings, JSON.stringify({ store: { file: absent } }))
      for (const words of [[absent], ['--settings', settings]]) {
        const { code, at } = await verify(...words)
        expect(code).toBe(3)
        expect(at.remarks()).toContain(
          `cannot open the store ${absent}: there is no such file. Name the file of a store, or its settings by --settings.`,
        )
      }
      expect(existsSync(absent)).toBe(false)
    },
  )
})

describe('GET /audit/verify', () => {
  it('answers whether the trail is intact, and where it breaks', async () => {
    const door = await openDoor({
      around: (store) => ({
        ...store,
        // The last row of three, as if it had been written over.
        followAudit: async (after, limit) =>
          after.seq === 2
            ? { last: after, broken: { seq: 3, what: 'changed' } }
            : store.followAudit(after, Math.min(limit, 2)),
      }),
    })
    try {
      expect((await ask(door.url, '/audit/verify')).json).toMatchObject({
        intact: false,
        rows: 2,
        broken: { seq: 3, what: 'changed' },
      })
    } finally {
      await door.close()
    }
  })

  it('holds it to the row and hash that were kept', async () => {
    const door = await openDoor()
    try {
      const { rows, hash } = (await ask(door.url, '/audit/verify')).json as { rows: number; hash: string }
      const beside = async (kept: string) => ask(door.url, `/audit/verify?kept=${kept}`)
      expect(rows).toBeGreaterThan(0)
      expect((await beside(`${rows}:${hash}`)).json).toMatchObject({ intact: true })
      expect((await beside(`${rows}:${'0'.repeat(64)}`)).json).toMatchObject({
        intact: false,
        broken: { seq: rows, what: 'rewritten' },
      })
      expect((await beside(`${rows + 9}:${hash}`)).json).toMatchObject({
        intact: false,
        broken: { seq: rows + 1, what: 'cut-off' },
      })
      expect(await beside('yesterday')).toMatchObject({
        status: 400,
        json: { issues: [{ at: 'query.kept' }] },
      })
    } finally {
      await door.close()
    }
  })
})
