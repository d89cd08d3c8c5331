/** A clinic that was down and comes back half broken: one command says what is wrong, what passes by itself, what to do. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { stripVTControlCharacters } from 'node:util'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { deliverOutbox } from '../../src/flow/deliver/deliver-outbox.ts'
import type { Ports } from '../../src/flow/ports/ports.ts'
import { correctSession } from '../../src/flow/receive/correct-session.ts'
import { receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { enrol } from '../../src/flow/register/enrol-subject.ts'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { readSettings } from '../../src/shell/config/reading/read-settings.ts'
import { ask } from '../support/ask.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { type StartedClinic, startHostileClinic } from '../support/hostile-clinic/start-hostile-clinic.ts'
import { rawRecord } from '../support/raw-record.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

const SYSTEM = 'https://clinic.example/mrn'
const SUBJECTS = Array.from({ length: 24 }, (_, index) => `HW-${index + 1}`)

let folder: string
let settings: string
let clinic: StartedClinic

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'half-broken-'))
  settings = join(folder, 'gateway.json')
  clinic = await startHostileClinic({ patients: SUBJECTS.map((value) => ({ system: SYSTEM, value })) })
  configure({})
})
afterEach(async () => {
  await clinic.close()
  rmSync(folder, { recursive: true, force: true })
})

function configure(delivery: object, name = 'lantern-bay'): void {
  const file = {
    listen: { port: 0 },
    store: { file: join(folder, 'gateway.db') },
    log: { level: 'silent' },
    delivery,
    sources: [{ name: 'harbour-app', title: 'Harbour home app' }],
    destinations: [{ name, baseUrl: clinic.baseUrl }],
  }
  writeFileSync(settings, JSON.stringify(file))
}

/** Opens the gateway of the settings, does something with it, and closes it. */
async function withGateway<T>(act: (at: Ports, url: () => Promise<string>) => Promise<T>): Promise<T> {
  const gateway = await openGateway(readSettings(settings, {}))
  try {
    return await act(gateway.ports, async () => (await gateway.listen()).url)
  } finally {
    await gateway.stop()
  }
}

/** One session of each of these, by its own id: the subject and a letter. */
async function receive(subjects: readonly string[], letter: string, at: Ports): Promise<void> {
  for (const subject of subjects) {
    const patient = { system: SYSTEM, value: subject }
    const link = {
      source: 'harbour-app',
      subject,
      patient,
      zone: 'Europe/London',
      destination: 'lantern-bay',
    }
    expect((await enrol(link, 'operator', at)).ok).toBe(true)
    const text = JSON.stringify(rawRecord({ id: `${subject}-${letter}`, subject }))
    await receiveSessions([{ text }], { source: 'harbour-app' }, at)
  }
}

/** What a command prints, its lines put together. */
async function run(...words: readonly string[]): Promise<string> {
  const at = recordedTerminal()
  await runCommandLine([...words, '--settings', settings], at, openGateway, '0.0.0')
  return stripVTControlCharacters(at.output()).replaceAll(/\s+/g, ' ')
}

describe('a clinic that answers that it cannot, one time after the other', () => {
  it('is said to answer so, not to be silent, though it is left alone meanwhile', async () => {
    const listed = await withGateway(async (at, listen) => {
      await receive(['HW-1'], 'a', at)
      expect(await deliverOutbox(at)).toMatchObject({ settled: 1 })
      clinic.clinic.faults.every(1, fault.status(503))
      await receive(SUBJECTS, 'b', at)
      await deliverOutbox(at)
      const { json } = await ask(await listen(), '/deliveries?state=waiting')
      return json as { readonly items: readonly { readonly problem?: { readonly code: string } }[] }
    })
    const codes = new Set(listed.items.flatMap(({ problem }) => problem?.code ?? []))
    expect([...codes].sort()).toEqual(['CLINIC_BUSY', 'CLINIC_RESTING'])
    expect(await run('destinations', 'list')).toContain('problem CLINIC_BUSY.')
  })
})

describe('a delivery that was tried as often as is allowed', () => {
  it('is not said to be tried again', async () => {
    configure({ maxAttempts: 1 })
    clinic.clinic.faults.every(1, fault.dropBefore)
    await withGateway(async (at) => {
      await receive(['HW-1'], 'a', at)
      expect(await deliverOutbox(at)).toMatchObject({ givenUp: 1 })
    })
    for (const words of [
      ['deliveries', 'list'],
      ['deliveries', 'show', '1'],
      ['destinations', 'list'],
    ]) {
      const text = await run(...words)
      expect(text).not.toContain('the entry is tried again')
      expect(text).toContain('CLINIC_UNREACHABLE')
      expect(text).toContain('is not tried again by itself')
    }
  })
})

describe('a clinic that takes what is new, and no updates', () => {
  it('is told of in one command: how many wait for a person and why, what they hold up, what goes on by itself', async () => {
    await withGateway(async (at) => {
      await receive(['HW-1', 'HW-2'], 'a', at)
      expect(await deliverOutbox(at)).toMatchObject({ settled: 2 })
      for (const subject of ['HW-1', 'HW-2']) {
        const text = JSON.stringify(rawRecord({ id: `${subject}-a`, subject, arm: 'right' }))
        const corrected = await correctSession(text, `${subject}-a`, { source: 'harbour-app' }, at)
        expect(corrected.ok).toBe(true)
      }
      await receive(['HW-1', 'HW-2', 'HW-3'], 'b', at)
      await receive(['HW-1'], 'c', at)
      clinic.clinic.behave({ update: false, conditionalUpdate: false, transaction: 'off' })
      clinic.clinic.faults.every(1, fault.status(503), ({ body }) => body.includes('HW-3'))
      expect(await deliverOutbox(at)).toMatchObject({ parked: 2, waiting: 1 })
    })
    const text = await run('destinations', 'list')
    expect(text).toContain('parked 2 with CLINIC_CANNOT_UPDATE. The clinic’s server does not let us')
    expect(text).toContain('Have the clinic let us update, then retry')
    expect(text).toContain('See them with: deliveries list --state parked --problem CLINIC_CANNOT_UPDATE')
    expect(text).toContain('behind 3 of those that wait are behind another of their patient')
    expect(text).toMatch(/next at \d{4}-\d\d-\d\dT[\d:]+Z at the earliest, by itself/)
    const { stuck, behind } = JSON.parse(await run('destinations', 'list', '--json')).items[0]
    expect(behind).toBe(3)
    expect(stuck).toMatchObject([{ state: 'parked', code: 'CLINIC_CANNOT_UPDATE', entries: 2 }])
  })
})

describe('a destination that is taken out of the settings', () => {
  it('is still told of while something is queued for it, with what to do', async () => {
    clinic.clinic.faults.every(1, fault.status(503))
    await withGateway(async (at) => {
      await receive(['HW-1', 'HW-2'], 'a', at)
      await deliverOutbox(at)
    })
    configure({}, 'harbour-view')
    const before = await run('destinations', 'list')
    expect(before).toContain('lantern-bay (not in the settings) problem UNKNOWN_DESTINATION.')
    expect(before).toContain('Add it to the settings, or correct its name.')
    expect(before).toContain('2 waiting')
    expect(before).not.toContain('by itself')
    await withGateway(async (_at, listen) => {
      const { json } = await ask(await listen(), '/destinations')
      expect(json).toMatchObject({
        items: [
          { name: 'harbour-view', kind: 'fhir' },
          { name: 'lantern-bay', problem: { code: 'UNKNOWN_DESTINATION' }, entries: { waiting: 2 } },
        ],
      })
    })
  })
})

describe('a delivery that was given up for what is mended elsewhere', () => {
  it('is said to be retried then', async () => {
    clinic.clinic.faults.every(1, fault.status(307), ({ kind }) => kind === 'transaction')
    await withGateway(async (at) => {
      await receive(['HW-1'], 'a', at)
      expect(await deliverOutbox(at)).toMatchObject({ givenUp: 1 })
      await receive(['HW-2'], 'a', at)
    })
    expect(await run('deliveries', 'show', '1')).toContain('what stands before it, then retry it.')
    configure({}, 'harbour-view')
    await withGateway(async (at) => {
      expect(await deliverOutbox(at)).toMatchObject({ givenUp: 1 })
    })
    expect(await run('deliveries', 'show', '2')).toContain('Add it to the settings again, then retry it.')
  })
})
