import { existsSync } from 'node:fs'
import { resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { beforeAll, describe, expect, it } from 'vitest'
import { shippedProtocol } from '../support/shipped-profiles.ts'
import { temporaryStore } from '../support/temporary-store.ts'
import { auditEntry, enrolment, sessionRecord } from './store-builders.ts'
import { describeStore } from './store-contract.ts'

// A worker thread needs the built program: `npm test` builds it first. GATEWAY_DIST names a build elsewhere.
const DIST = resolve(process.env.GATEWAY_DIST ?? 'dist', 'shell/store')
if (!existsSync(DIST)) throw new Error(`${DIST} is missing: run \`npm run build\` first`)

type OpenModule = typeof import('../../src/shell/store/open-sqlite-store.ts')
type StoreOverModule = typeof import('../../src/shell/store/store-over.ts')
type SweepModule = typeof import('../../src/shell/store/sweep/sweep-in-worker.ts')
type WorkerModule = typeof import('../../src/shell/store/worker/worker-writer.ts')
const built = (file: string) => import(/* @vite-ignore */ pathToFileURL(`${DIST}/${file}`).href)

let openModule: OpenModule
let storeOverModule: StoreOverModule
let sweepModule: SweepModule
let workerModule: WorkerModule
beforeAll(async () => {
  openModule = await built('open-sqlite-store.js')
  storeOverModule = await built('store-over.js')
  sweepModule = await built('sweep/sweep-in-worker.js')
  workerModule = await built('worker/worker-writer.js')
})

describeStore('SQLite in a worker thread', () =>
  temporaryStore(['clinic'], (options) => openModule.openSqliteStore(options)),
)

describe('the worker thread of the store', () => {
  it('rejects the calls under way and all later ones when it dies, and still closes', async () => {
    const temporary = await temporaryStore()
    await temporary.store.close()
    const { file } = temporary
    const none = new Set<string>()
    const worker = workerModule.startWorker({ file, readingsAtOnce: none, attentionAtOnce: none })
    const writer = await workerModule.WorkerWriter.over(worker)
    const store = storeOverModule.storeOver(writer, sweepModule.sweepInWorker(file))
    await store.accept([sessionRecord({ id: 'a' })])

    await store.recordAudit(auditEntry('x'))

    // it still gathers when the message that kills the thread goes out
    const failure = expect(store.accept([sessionRecord({ id: 'b' })])).rejects.toMatchObject({
      code: 'STORE_FAILED',
    })
    worker.postMessage(null)
    await failure
    await expect(store.accept([sessionRecord({ id: 'c' })])).rejects.toMatchObject({ code: 'STORE_FAILED' })
    await expect(store.figures()).rejects.toMatchObject({
      code: 'STORE_FAILED',
      message: expect.stringContaining('thread'),
    })
    await store.close()

    const after = await temporary.reopen()
    expect((await after.session('harbour-app', 'a'))?.seq).toBe(1)
    await temporary.remove()
  })

  it('says why it could not open the file', async () => {
    const open = openModule.openSqliteStore({
      file: '/no/such/folder/gateway.db',
      readingsAtOnce: new Set(),
      attentionAtOnce: new Set(),
    })
    await expect(open).rejects.toMatchObject({
      code: 'STORE_FAILED',
      message: expect.stringContaining('/no/such/folder/gateway.db: there is no folder /no/such/folder'),
      sqlite: 'SQLITE_CANTOPEN',
    })
  })

  it('lets a caller’s mistake fail that call alone', async () => {
    const temporary = await temporaryStore(['clinic'], (options) => openModule.openSqliteStore(options))
    const broken = { ...sessionRecord({ id: 'a' }), takenMs: 0.5 }
    await expect(temporary.store.accept([broken])).rejects.toMatchObject({ code: 'STORE_FAILED' })
    const [answer] = await temporary.store.accept([sessionRecord({ id: 'a' })])
    expect(answer?.outcome).toBe('kept')
    await temporary.remove()
  })
})

describe('the thread of a sweep', () => {
  const request = {
    protocol: shippedProtocol('nice-ng136-home'),
    firstDay: '2026-03-02',
    lastDay: '2026-03-08',
  }
  const worker = () => temporaryStore(['clinic'], (options) => openModule.openSqliteStore(options))

  it('says why it could not read the file', async () => {
    const sweep = sweepModule.sweepInWorker('/no/such/folder/gateway.db')(request)
    await expect(sweep[Symbol.asyncIterator]().next()).rejects.toMatchObject({
      code: 'STORE_FAILED',
      message: expect.stringContaining('sweep'),
    })
  })

  it('holds the file no longer than its reader reads', async () => {
    const temporary = await worker()
    const subjects = Array.from({ length: 3_000 }, (_, index) => `HW-${index}`)
    await Promise.all(
      subjects.map((subject) => temporary.store.saveEnrolment(enrolment(subject, 'x'), auditEntry('x'))),
    )
    await temporary.store.accept(
      subjects.map((subject) => sessionRecord({ id: subject, subject, takenAt: '2026-03-02T16:00:00Z' })),
    )
    for await (const batch of temporary.store.sweep(request)) {
      expect(batch.length).toBeGreaterThan(0)
      break
    }
    await temporary.store.close()
    // the last connection to close folds the write-ahead log back and removes it
    expect(existsSync(`${temporary.file}-wal`)).toBe(false)
    await temporary.remove()
  })
})
