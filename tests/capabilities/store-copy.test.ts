/** A copy of the store, and a gateway that goes on from it after a loss: nothing is made twice at a clinic. */
import { existsSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { resumeRoute, resumeRoutes } from '../../src/flow/operate/resume-route.ts'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { copyStore } from '../../src/shell/store/copy-store.ts'
import { replaceStore } from '../../src/shell/store/replace-store.ts'
import { DESTINATION, SOURCE } from '../support/open-flows.ts'
import {
  NOTHING,
  OF_A_SITTING,
  openDelivery,
  type QueuedDelivery,
  queueSessions,
} from '../support/queued-delivery.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

let at: QueuedDelivery
let copy: string
afterEach(() => at.flows.close())

async function start(destination: Readonly<Record<string, unknown>> = {}): Promise<void> {
  at = await openDelivery({ destination })
  copy = `${at.flows.file}-copy`
}

const takeCopy = () => copyStore(at.flows.file, copy, at.flows.ports.clock.now())

describe('a gateway that goes on from a copy', () => {
  it('looks for what the store may have delivered since, and brings what it had not', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1'])
    await queueSessions(at, 'HW-2', ['s-2'])
    expect(takeCopy()).toEqual({ uncertain: 2, stopped: [] })
    await at.deliver()
    await at.flows.restart(copy)
    expect(await at.entries()).toMatchObject([
      { state: 'waiting', uncertain: true },
      { state: 'waiting', uncertain: true },
    ])
    expect(await at.deliverLater()).toMatchObject({ settled: 2, created: 0 })
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('holds what was kept up to then, whoever is writing meanwhile', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1'])
    takeCopy()
    await queueSessions(at, 'HW-2', ['s-2'])
    await at.flows.restart(copy)
    expect(await at.flows.ports.store.session(SOURCE, 's-1')).toBeDefined()
    expect(await at.flows.ports.store.session(SOURCE, 's-2')).toBeUndefined()
  })

  it('sends nothing to a clinic that cannot be asked, until a person resumes it', async () => {
    await start({ rung: 'create-only', patient: { by: 'identifier-only' } })
    await queueSessions(at, 'HW-1', ['s-1'])
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
    await queueSessions(at, 'HW-2', ['s-2'])
    expect(takeCopy()).toEqual({ uncertain: 1, stopped: [DESTINATION] })
    await at.deliverLater()

    await at.flows.restart(copy)
    const { ports } = at.flows
    expect(await ports.store.route(DESTINATION)).toMatchObject({ stopped: { problem: 'STORE_COPIED' } })
    expect(await resumeRoutes('gateway', ports)).toBe(0)
    expect(await at.deliverLater()).toEqual(NOTHING)
    await resumeRoute(DESTINATION, 'operator', ports)
    expect(await at.deliverLater()).toEqual({ ...NOTHING, parked: 1 })
    expect((await at.entries()).map(({ lastProblem }) => lastProblem)).toEqual([undefined, 'OUTCOME_UNKNOWN'])
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })
})

describe('a copy', () => {
  beforeEach(() => start())

  it('is readable by its owner alone, and takes no file’s place', async () => {
    takeCopy()
    expect(statSync(copy).mode & 0o777).toBe(0o600)
    expect(takeCopy).toThrow('EEXIST')
    await at.flows.restart(copy)
  })

  it('leaves nothing behind where it cannot be made', () => {
    const other = `${at.flows.file}.txt`
    writeFileSync(other, 'no store, but a text that is long enough to be looked into by whoever opens it')
    expect(() => copyStore(other, copy, 0)).toThrow('copy: ')
    expect(existsSync(copy)).toBe(false)
  })
})

describe('a copy that is put in the place of a store', () => {
  beforeEach(() => start())

  it('keeps what was there, and drops the log that would break the copy', () => {
    takeCopy()
    const file = `${at.flows.file}-of-another-machine`
    expect(replaceStore(file, copy, '1')).toBeUndefined()
    writeFileSync(`${file}-wal`, 'of the one before')
    expect(replaceStore(file, copy, '2')).toBe(`${file}.before-2`)
    expect(readFileSync(`${file}.before-2`)).toEqual(readFileSync(copy))
    expect(readFileSync(file)).toEqual(readFileSync(copy))
    expect(existsSync(`${file}-wal`)).toBe(false)
    expect(statSync(file).mode & 0o777).toBe(0o600)
  })

  it('keeps a store that is damaged as it is, with its log', () => {
    takeCopy()
    const file = `${at.flows.file}-damaged`
    writeFileSync(file, 'x'.repeat(4096))
    writeFileSync(`${file}-wal`, 'y')
    replaceStore(file, copy, '1')
    expect(readFileSync(`${file}.before-1`, 'utf8')).toBe('x'.repeat(4096))
    expect(readFileSync(`${file}.before-1-wal`, 'utf8')).toBe('y')
  })

  it('takes the place of no store that is open', () => {
    takeCopy()
    expect(() => replaceStore(at.flows.file, copy, '1')).toThrow('Stop it first.')
  })

  it.each([
    ['is not there', undefined, 'there is no copy'],
    ['is no store', 'text', 'no sound copy'],
    ['is cut short', 'short', 'no sound copy'],
  ])('must be sound: one that %s is refused', (_what, content, said) => {
    takeCopy()
    const other = `${copy}-other`
    if (content === 'text') writeFileSync(other, 'x'.repeat(4096))
    if (content === 'short') writeFileSync(other, readFileSync(copy).subarray(0, 8192))
    expect(() => replaceStore(`${copy}-in-use`, other, '1')).toThrow(said)
    expect(existsSync(`${copy}-in-use`)).toBe(false)
  })
})

describe('the command store', () => {
  beforeEach(() => start())

  async function run(...words: readonly string[]) {
    const settings = `${at.flows.file}.json`
    writeFileSync(settings, JSON.stringify({ store: { file: at.flows.file }, log: { level: 'silent' } }))
    const terminal = recordedTerminal(140)
    const argv = ['store', ...words, '--settings', settings]
    const code = await runCommandLine(argv, terminal, openGateway, '0.0.0')
    return { code, output: terminal.output(), remarks: terminal.remarks() }
  }

  it('copies the store of the settings, and the audit trail of both says so', async () => {
    await queueSessions(at, 'HW-1', ['s-1'])
    const { code, output } = await run('copy', copy, '--json')
    expect(code).toBe(0)
    expect(JSON.parse(output)).toEqual({ file: copy, uncertain: 1, stopped: [] })
    const last = async () => (await at.flows.ports.store.auditPage({ limit: 200 })).at(-1)
    expect(await last()).toMatchObject({ action: 'store-copied', actor: 'operator' })
    await at.flows.restart(copy)
    expect(await last()).toMatchObject({ action: 'store-copied', actor: 'operator' })
  })

  it('tells a person what a gateway does that goes on from it', async () => {
    await queueSessions(at, 'HW-1', ['s-1'])
    expect((await run('copy', copy)).output).toContain('open deliveries: 1;')
  })

  it('refuses to replace the store of a gateway that runs', async () => {
    takeCopy()
    expect(await run('replace', copy)).toMatchObject({ code: 3 })
  })

  it('ends with 3 where it cannot be written', async () => {
    const { code, remarks } = await run('copy', `${at.flows.file}/nowhere`)
    expect(code).toBe(3)
    expect(remarks).toContain('Name a new file, in a folder there is.')
  })
})
