import { chmodSync, mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { auditEntry } from '../../../../tests/contracts/store-builders.ts'
import { createLog } from '../../config/logger.ts'
import { openSqliteStore } from '../open-sqlite-store.ts'

describe('the files of a store', () => {
  let folder: string
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'owner-only-'))
  })
  afterEach(() => rmSync(folder, { recursive: true, force: true }))

  const open = async () => {
    const written: unknown[] = []
    const log = createLog({ log: { level: 'info' } }, { write: (text) => written.push(JSON.parse(text)) })
    const options = { file: join(folder, 'gateway.db'), readingsAtOnce: new Set<string>(), log }
    const store = await openSqliteStore({ ...options, attentionAtOnce: new Set() })
    await store.recordAudit(auditEntry('x'))
    return { store, written }
  }
  const modes = () =>
    Object.fromEntries(
      readdirSync(folder).map((name) => [name, (statSync(join(folder, name)).mode & 0o777).toString(8)]),
    )

  it('are made for their owner only', async () => {
    const { store, written } = await open()
    expect(modes()).toEqual({
      'gateway.db': '600',
      'gateway.db-owner': '600',
      'gateway.db-shm': '600',
      'gateway.db-wal': '600',
    })
    expect(written).toEqual([])
    await store.close()
  })

  it('are tightened, with a warning that names them, when others may read them', async () => {
    const first = await open()
    for (const name of readdirSync(folder)) chmodSync(join(folder, name), 0o644)
    const second = await open()
    expect(Object.values(modes())).toEqual(['600', '600', '600', '600'])
    expect(second.written).toMatchObject([
      { event: 'store-rights-tightened', storeFile: join(folder, 'gateway.db') },
    ])
    await second.store.close()
    await first.store.close()
  })
})
