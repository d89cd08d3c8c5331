import { randomUUID } from 'node:crypto'
import { existsSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { DatabaseSync } from '@photostructure/sqlite'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
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

  it('finds rows cut off the end only by the hash that was kept', async () => {
    const kept = JSON.parse((await verify('--json', temporary.file)).at.output())
    const { code, at } = await verify('--json', await copyWith(`DELETE FROM audit WHERE seq > 700`))
    expect(code).toBe(0)
    expect(JSON.parse(at.output())).toMatchObject({ intact: true, rows: 700 })
    expect(JSON.parse(at.output()).hash).not.toBe(kept.hash)
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
})
