/** A copy of the store, and a gateway that goes on from it after a loss: nothing is made twice at a clinic. */
import { once } from 'node:events'
import {
  chmodSync,
  existsSync,
  lstatSync,
  mkdirSync,
  readFileSync,
  statSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs'
import { Worker } from 'node:worker_threads'
import { DatabaseSync } from '@photostructure/sqlite'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { resumeRoute, resumeRoutes } from '../../src/flow/operate/resume-route.ts'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { Database } from '../../src/shell/store/connection/database.ts'
import { copyStore } from '../../src/shell/store/copies/copy-store.ts'
import { replaceStore } from '../../src/shell/store/copies/replace-store.ts'
import { DESTINATION, SOURCE } from '../support/open-flows.ts'
import {
  NOTHING,
  OF_A_SITTING,
  openDelivery,
  type QueuedDelivery,
  queueSessions,
  sitting,
} from '../support/queued-delivery.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

let at: QueuedDelivery
let copy: string
afterEach(() => at.flows.close())

async function start(destination: Readonly<Record<string, unknown>> = {}): Promise<void> {
  at = await openDelivery({ destination })
  copy = `${at.flows.file}-copy`
}

const takeCopy = () => copyStore(at.flows.file, copy)
const problems = async () => (await at.entries()).map(({ state, lastProblem }) => lastProblem ?? state)
const doubles = () => at.clinic.server.ledger.createdTwice()

describe('a gateway that goes on from a copy', () => {
  it('looks for what the store may have delivered since, and brings what it had not', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1'])
    await queueSessions(at, 'HW-2', ['s-2'])
    takeCopy()
    await at.deliver()
    await at.flows.restart(copy)
    expect(await at.entries()).toMatchObject([
      { state: 'waiting', uncertain: true },
      { state: 'waiting', uncertain: true },
    ])
    expect(await at.deliverLater()).toMatchObject({ settled: 2, created: 0 })
    expect(doubles()).toEqual([])
  })

  it('holds what was kept up to then, and takes what is sent again without making it twice', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1'])
    takeCopy()
    await queueSessions(at, 'HW-2', ['s-2'])
    await at.deliver()
    await at.flows.restart(copy)
    expect(await at.flows.ports.store.session(SOURCE, 's-1')).toBeDefined()
    expect(await at.flows.ports.store.session(SOURCE, 's-2')).toBeUndefined()
    await queueSessions(at, 'HW-2', ['s-2'])
    expect(await at.deliverLater()).toMatchObject({ settled: 2, created: 0 })
    expect(doubles()).toEqual([])
  })
})

describe('a clinic that cannot be asked what it holds', () => {
  beforeEach(() => start({ rung: 'create-only', patient: { by: 'identifier-only' } }))

  it.each([
    ['that was served before the copy', true],
    ['that was first served after it', false],
  ])(
    '%s is stopped, and after a person resumed it what is queued is left to them',
    async (_which, served) => {
      await queueSessions(at, 'HW-1', ['s-1'])
      if (served) expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
      takeCopy()
      await queueSessions(at, 'HW-2', ['s-2'])
      await at.deliverLater()

      await at.flows.restart(copy)
      const { ports } = at.flows
      await queueSessions(at, 'HW-2', ['s-2'])
      expect(await at.deliverLater()).toMatchObject({ settled: 0, created: 0 })
      expect(await ports.store.route(DESTINATION)).toMatchObject({ stopped: { problem: 'STORE_COPIED' } })
      // The start of a service resumes what may have been mended, and not this.
      expect(await resumeRoutes('gateway', ports)).toBe(0)
      expect(await at.deliverLater()).toEqual(NOTHING)

      await resumeRoute(DESTINATION, 'operator', ports)
      // The second may wait a while for the monitor that the first brings.
      for (let round = 1; round <= 2; round += 1) {
        expect(await at.deliverLater()).toMatchObject({ settled: 0, created: 0 })
      }
      expect(await problems()).toEqual([served ? 'settled' : 'OUTCOME_UNKNOWN', 'OUTCOME_UNKNOWN'])
      expect(doubles()).toEqual([])

      // What comes later was never sent.
      await at.flows.enrol('HW-3')
      await at.flows.receive([sitting('s-3', 'HW-3')])
      expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    },
  )

  it('is stopped so too where it was stopped for something that the start of a service resumes', async () => {
    await queueSessions(at, 'HW-1', ['s-1'])
    const { ports } = at.flows
    await at.deliver()
    const route = await ports.store.route(DESTINATION)
    if (route === undefined) throw new Error('no route is known')
    await ports.store.saveRoute({ ...route, stopped: { problem: 'CLINIC_LOGIN', sinceMs: 0 } })
    takeCopy()
    await at.flows.restart(copy)
    expect(await resumeRoutes('gateway', ports)).toBe(1)
    await queueSessions(at, 'HW-2', ['s-2'])
    await at.deliverLater()
    expect(await ports.store.route(DESTINATION)).toMatchObject({ stopped: { problem: 'STORE_COPIED' } })
  })
})

describe('a copy', () => {
  beforeEach(() => start())

  it('is one file, readable by its owner alone, and takes no file’s place', () => {
    takeCopy()
    expect(statSync(copy).mode & 0o777).toBe(0o600)
    expect(existsSync(`${copy}-wal`)).toBe(false)
    expect(takeCopy).toThrow('there is a file already. Name a new one.')
  })

  it('leaves nothing behind where it cannot be made', () => {
    const other = `${at.flows.file}.txt`
    writeFileSync(other, 'no store, but a text that is long enough to be looked into by whoever opens it')
    expect(() => copyStore(other, copy)).toThrow('copy: ')
    expect(existsSync(copy)).toBe(false)
  })
})

/** Looks at a file again and again until asked, and tells each mode it was seen with. */
const WATCH = `
  const { statSync } = require('node:fs')
  const { parentPort, receiveMessageOnPort, workerData } = require('node:worker_threads')
  const seen = new Set()
  parentPort.postMessage('ready')
  while (receiveMessageOnPort(parentPort) === undefined) {
    const found = statSync(workerData, { throwIfNoEntry: false })
    if (found !== undefined) seen.add(found.mode & 0o777)
  }
  parentPort.postMessage([...seen])`

describe('a copy that is put in the place of a store', () => {
  beforeEach(() => start())

  it('keeps what was there, drops the log that would break the copy, and says so in the audit trail', async () => {
    takeCopy()
    const file = `${at.flows.file}-of-another-machine`
    expect(replaceStore(file, copy, [], 0)).toEqual({ uncertain: 0 })
    const first = readFileSync(file)
    writeFileSync(`${file}-wal`, 'of the one before')
    const before = `${file}.before-19700101T000000Z`
    expect(replaceStore(file, copy, [], 0)).toEqual({ uncertain: 0, before })
    expect(readFileSync(before)).toEqual(first)
    for (const beside of ['-wal', '.coming', '.coming-journal'])
      expect(existsSync(`${file}${beside}`)).toBe(false)
    for (const one of [file, `${file}-owner`]) expect(statSync(one).mode & 0o777).toBe(0o600)
    await at.flows.restart(copy)
    expect((await at.flows.ports.store.auditPage({ limit: 200 })).at(-1)).toMatchObject({
      action: 'store-replaced',
      actor: 'operator',
      detail: { uncertain: 0 },
    })
  })

  it('keeps what was there each time, however soon it is done again', () => {
    takeCopy()
    const file = `${at.flows.file}-again`
    writeFileSync(file, 'the first')
    const kept = [1, 2, 3].map(() => replaceStore(file, copy, [], 0).before ?? '')
    expect(new Set(kept).size).toBe(3)
    expect(readFileSync(kept[0] ?? '', 'utf8')).toBe('the first')
  })

  it('is put where the store lies, when its name leads there from elsewhere', () => {
    takeCopy()
    const [file, lies] = [`${at.flows.file}-link`, `${at.flows.file}-elsewhere`]
    writeFileSync(lies, 'the one before')
    symlinkSync(lies, file)
    const { before = '' } = replaceStore(file, copy, [], 0)
    expect(before).toBe(`${lies}.before-19700101T000000Z`)
    expect(readFileSync(before, 'utf8')).toBe('the one before')
    expect(lstatSync(file).isSymbolicLink()).toBe(true)
    expect(readFileSync(lies).subarray(0, 15).toString()).toBe('SQLite format 3')
  })

  it('is its owner’s alone from the first byte on, though the copy was not', async () => {
    // Long enough to be looked at while it is copied; no store, so that it ends there.
    const other = `${copy}-for-all`
    writeFileSync(other, '')
    truncateSync(other, 128 * 1_048_576)
    chmodSync(other, 0o644)
    const file = `${at.flows.file}-guarded`
    const watching = new Worker(WATCH, { eval: true, workerData: `${file}.coming` })
    await once(watching, 'message')
    expect(() => replaceStore(file, other, [], 0)).toThrow('no sound copy')
    watching.postMessage('tell')
    const [modes] = await once(watching, 'message')
    await watching.terminate()
    expect(modes).toEqual([0o600])
  })

  it('is not called unsound where the disk is full, or fails', () => {
    takeCopy()
    const tiny = new DatabaseSync(':memory:')
    tiny.exec('PRAGMA max_page_count = 1')
    const full = vi.spyOn(Database.prototype, 'write').mockImplementation(() => {
      tiny.exec('CREATE TABLE a (b)')
      throw new Error('room was left')
    })
    try {
      const file = `${at.flows.file}-full`
      expect(() => replaceStore(file, copy, [], 0)).toThrow(`replace ${file}: database or disk is full`)
      expect(existsSync(file) || existsSync(`${file}.coming`)).toBe(false)
    } finally {
      full.mockRestore()
      tiny.close()
    }
  })

  it('keeps a store that is damaged as it is, with its log', () => {
    takeCopy()
    const file = `${at.flows.file}-damaged`
    writeFileSync(file, 'x'.repeat(4096))
    writeFileSync(`${file}-wal`, 'y')
    const { before = '' } = replaceStore(file, copy, [], 0)
    expect(readFileSync(before, 'utf8')).toBe('x'.repeat(4096))
    expect(readFileSync(`${before}-wal`, 'utf8')).toBe('y')
  })

  it('leaves the store as it was where the copy cannot be written beside it', () => {
    takeCopy()
    const file = `${at.flows.file}-stays`
    writeFileSync(file, 'z')
    mkdirSync(`${file}.coming/taken`, { recursive: true })
    expect(() => replaceStore(file, copy, [], 0)).toThrow()
    expect(readFileSync(file, 'utf8')).toBe('z')
  })

  it('takes the place of no store that is open', () => {
    takeCopy()
    expect(() => replaceStore(at.flows.file, copy, [], 0)).toThrow('Stop it first.')
  })

  it.each([
    ['is not there', () => undefined, 'there is no copy'],
    ['is no store', (other: string) => writeFileSync(other, 'x'.repeat(4096)), 'no sound copy'],
    ['is empty', (other: string) => writeFileSync(other, ''), 'no sound copy'],
    [
      'is cut short',
      (other: string) => writeFileSync(other, readFileSync(copy).subarray(0, 8192)),
      'no sound copy',
    ],
    [
      'has a part of it in a log beside it',
      (other: string) => {
        writeFileSync(other, readFileSync(copy))
        writeFileSync(`${other}-wal`, 'a part')
      },
      'in the log beside it',
    ],
  ])('must be sound: one that %s is refused', (_what, make, said) => {
    takeCopy()
    const other = `${copy}-other`
    make(other)
    expect(() => replaceStore(`${copy}-in-use`, other, [], 0)).toThrow(said)
    expect(existsSync(`${copy}-in-use`)).toBe(false)
  })

  it('is not the store itself', () => {
    takeCopy()
    expect(() => replaceStore(copy, copy, [], 0)).toThrow('is the store itself')
  })
})

describe('the command store', () => {
  beforeEach(() => start())

  async function run(words: readonly string[], file = at.flows.file) {
    const settings = `${at.flows.file}.json`
    writeFileSync(settings, JSON.stringify({ store: { file }, log: { level: 'silent' } }))
    const terminal = recordedTerminal(140)
    const code = await runCommandLine(
      ['store', ...words, '--settings', settings],
      terminal,
      openGateway,
      '0.0.0',
    )
    return { code, output: terminal.output(), remarks: terminal.remarks() }
  }

  it('copies the store of the settings, and the audit trail of both says so', async () => {
    await queueSessions(at, 'HW-1', ['s-1'])
    const { code, output } = await run(['copy', copy, '--json'])
    expect(code).toBe(0)
    expect(JSON.parse(output)).toEqual({ file: copy })
    const rows = async () =>
      (await at.flows.ports.store.auditPage({ limit: 200 })).map(({ action }) => action)
    expect((await rows()).at(-1)).toBe('store-copied')
    await at.flows.restart(copy)
    expect((await rows()).slice(-2)).toEqual(['store-copied', 'store-replaced'])
  })

  it('tells a person what a gateway does that goes on from a copy', async () => {
    await queueSessions(at, 'HW-1', ['s-1'])
    expect((await run(['copy', copy])).output).toContain(`copied  ${copy}`)
    const file = `${at.flows.file}-new`
    const { code, output } = await run(['replace', copy], file)
    expect(code).toBe(0)
    expect(output).toContain(`replaced  ${file}`)
    expect(output).toContain('open deliveries: 1;')
  })

  it.each([
    ['a gateway runs on', () => at.flows.file, 'Stop it first.'],
    ['there is no folder for', () => `${at.flows.file}-nowhere/store.db`, 'there is no folder'],
  ])('ends with 3 where %s the store that is to be replaced', async (_what, file, said) => {
    takeCopy()
    const { code, remarks } = await run(['replace', copy], file())
    expect(code).toBe(3)
    expect(remarks).toContain(said)
  })

  it('ends with 3 where the copy cannot be written, or there is no store', async () => {
    const unwritten = await run(['copy', `${at.flows.file}/nowhere`])
    expect(unwritten.code).toBe(3)
    expect(unwritten.remarks).toContain('is not a folder. Check the path.')
    const none = await run(['copy', copy], `${at.flows.file}-none`)
    expect(none.code).toBe(3)
    expect(none.remarks).toContain('there is no store')
  })
})
