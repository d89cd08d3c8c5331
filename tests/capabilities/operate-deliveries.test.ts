/** What operators see of deliveries and can do about them, from the command line and over HTTP alike. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { stripVTControlCharacters } from 'node:util'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { deliverOutbox } from '../../src/flow/deliver/deliver-outbox.ts'
import { confirmDelivery } from '../../src/flow/operate/confirm-delivery.ts'
import { retryDelivery } from '../../src/flow/operate/retry-deliveries.ts'
import type { Ports } from '../../src/flow/ports/ports.ts'
import { receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { enrol } from '../../src/flow/register/enrol-subject.ts'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { readSettings } from '../../src/shell/config/reading/read-settings.ts'
import { auditEntry, DELIVERED } from '../contracts/store-builders.ts'
import { ask } from '../support/ask.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { type StartedClinic, startHostileClinic } from '../support/hostile-clinic/start-hostile-clinic.ts'
import { rawRecord } from '../support/raw-record.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

const PATIENT = { system: 'https://clinic.example/mrn', value: 'P-77' }
const CANARY = 'canary: Rowan Thistle, 141/88'

let folder: string
let settings: string
let clinic: StartedClinic

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'operate-'))
  settings = join(folder, 'gateway.json')
  clinic = await startHostileClinic({ patients: [PATIENT] })
  writeFileSync(
    settings,
    JSON.stringify({
      listen: { port: 0 },
      store: { file: join(folder, 'gateway.db') },
      log: { level: 'silent' },
      sources: [{ name: 'harbour-app', title: 'Harbour home app' }],
      destinations: [{ name: 'lantern-bay', baseUrl: clinic.baseUrl }],
    }),
  )
})
afterEach(async () => {
  await clinic.close()
  rmSync(folder, { recursive: true, force: true })
})

/** Opens the gateway of the settings, does something with it, and closes it. */
async function withGateway<T>(act: (at: Ports, url: () => Promise<string>) => Promise<T>): Promise<T> {
  const gateway = await openGateway(readSettings(settings, {}))
  try {
    return await act(gateway.ports, async () => (await gateway.listen()).url)
  } finally {
    await gateway.stop()
  }
}

/** Receives sessions of one subject, one reading each, and tries to deliver them once. */
const deliver = (...ids: readonly string[]) => deliverTo(PATIENT, ...ids)

const deliverTo = (patient: typeof PATIENT, ...ids: readonly string[]) =>
  withGateway(async (at) => {
    const link = {
      source: 'harbour-app',
      subject: 'HW-1',
      patient,
      zone: 'Europe/London',
      destination: 'lantern-bay',
    }
    expect((await enrol(link, 'operator', at)).ok).toBe(true)
    const records = ids.map((id) => ({ text: JSON.stringify(rawRecord({ id, subject: 'HW-1' })) }))
    await receiveSessions(records, { source: 'harbour-app' }, at)
    return deliverOutbox(at)
  })

async function run(...words: readonly string[]) {
  const at = recordedTerminal()
  const code = await runCommandLine([...words, '--settings', settings], at, openGateway, '0.0.0')
  return {
    code,
    text: stripVTControlCharacters(at.output()),
    remarks: stripVTControlCharacters(at.remarks()),
  }
}

describe('a delivery that the clinic refused', () => {
  beforeEach(async () => {
    clinic.clinic.faults.next([fault.status(422, { code: 'invariant', diagnostics: CANARY })])
    expect(await deliver('a')).toMatchObject({ givenUp: 1 })
  })

  it('is listed with its problem, and explained with what to do and the server’s own words', async () => {
    const { text } = await run('deliveries', 'list', '--state', 'given-up')
    expect(text).toContain('CLINIC_REFUSED: The clinic’s server will not take the entry as it is.')
    expect(text).toContain('Read the delivery, mend, and retry it.')
    expect(text).not.toContain(CANARY)

    const shown = await run('deliveries', 'show', '1')
    expect(shown.text).toContain('will not take the entry as it is')
    expect(shown.text).toContain('What to do: Read the delivery, mend, and retry it.')
    expect(shown.text).toContain('tried 1 time, queued')
    expect(shown.text).toContain('answered with status 422')
    expect(shown.text).toContain(CANARY)
  })

  it('is not in a list that a filter narrows to others', async () => {
    for (const filter of [
      ['--state', 'settled'],
      ['--kind', 'average'],
      ['--problem', 'CLINIC_LOGIN'],
      ['--queued-before', '2020-01-01T00:00:00Z'],
    ]) {
      expect([filter, (await run('deliveries', 'list', '--json', ...filter)).text]).toEqual([
        filter,
        '{"items":[]}',
      ])
    }
  })

  it('is not looked for under a name that nobody knows, which would look as if all were well', async () => {
    for (const [option, code] of [
      ['--destination', 'UNKNOWN_DESTINATION'],
      ['--source', 'UNKNOWN_SOURCE'],
    ] as const) {
      for (const command of ['list', 'retry']) {
        const refused = await run('deliveries', command, option, 'nope')
        expect([command, option, refused.code, refused.text]).toEqual([command, option, 1, ''])
        expect(refused.remarks).toContain(`${option}: expected the name of a`)
        expect(refused.remarks).toContain(code)
      }
    }
    await withGateway(async (_at, listen) => {
      const url = await listen()
      const unknown = await ask(url, '/deliveries?destination=nope&source=nope')
      expect(unknown.status).toBe(404)
      expect(unknown.json).toMatchObject({
        code: 'UNKNOWN_DESTINATION',
        issues: [{ at: 'query.destination' }, { at: 'query.source', code: 'UNKNOWN_SOURCE' }],
      })
      const retried = await ask(url, '/deliveries/retry?source=nope', { method: 'POST' })
      expect([retried.status, retried.json]).toMatchObject([404, { code: 'UNKNOWN_SOURCE' }])
    })
  })

  it('is not left out by a list of none, which would look as if all were well', async () => {
    for (const limit of ['0', '1.5', 'many']) {
      const refused = await run('deliveries', 'list', '--limit', limit)
      expect([limit, refused.code, refused.text]).toEqual([limit, 2, ''])
    }
  })

  it('is listed for a destination that has left the settings since', async () => {
    const written = JSON.parse(readFileSync(settings, 'utf8'))
    writeFileSync(settings, JSON.stringify({ ...written, destinations: [] }))
    const { code, text } = await run('deliveries', 'list', '--json', '--destination', 'lantern-bay')
    expect([code, JSON.parse(text)]).toMatchObject([0, { items: [{ id: 1, destination: 'lantern-bay' }] }])
  })

  it('is retried from states that a person can bring it out of, and no other', async () => {
    for (const state of ['settled', 'waiting', 'claimed']) {
      expect((await run('deliveries', 'retry', '--state', state)).code).toBe(2)
      await withGateway(async (_at, listen) => {
        const refused = await ask(await listen(), `/deliveries/retry?state=${state}`, { method: 'POST' })
        expect([refused.status, refused.json]).toMatchObject([400, { code: 'NOT_A_CHOICE' }])
      })
    }
    expect((await run('deliveries', 'retry', '--state', 'parked')).text).toBe('0 queued again.')
  })

  it('is previewed as it would be sent, with the rung and why, and nothing is sent', async () => {
    const before = clinic.clinic.requests.length
    const { code, text } = await run('deliveries', 'preview', '1', '--json')
    expect(code).toBe(0)
    const preview = JSON.parse(text)
    expect(preview).toMatchObject({ id: 1, kind: 'fhir', way: { rung: 'transaction', leftOut: [] } })
    expect(preview.bundle).toMatchObject({ resourceType: 'Bundle', type: 'transaction' })
    expect(clinic.clinic.requests.slice(before)).toEqual([])
    expect((await run('deliveries', 'preview', '1')).text).toContain('Nothing was sent.')
  })

  it('is queued again by its id, and reaches the clinic', async () => {
    expect(await run('deliveries', 'retry', '1')).toMatchObject({ code: 0, text: '1 queued again.' })
    expect(await withGateway((at) => deliverOutbox(at))).toMatchObject({ settled: 1 })
  })

  it('is retried or confirmed by its number only while it is given up or parked, and says what it is instead', async () => {
    const refused = async (state: string, remedy: string) => {
      for (const verb of ['retry', 'confirm']) {
        const said = `expected a delivery that is given up or parked, and this one is ${state}. ${remedy}`
        const typed = await run('deliveries', verb, '1')
        expect([typed.code, typed.text]).toEqual([1, ''])
        expect(typed.remarks).toContain(`<id>: ${said} [OTHER_STATE]`)
        const { code, text } = await run('deliveries', verb, '1', '--json')
        expect([code, JSON.parse(text)]).toMatchObject([1, { state, issues: [{ code: 'OTHER_STATE' }] }])
        await withGateway(async (_at, listen) => {
          const answer = await ask(await listen(), `/deliveries/1/${verb}`, { method: 'POST' })
          expect(answer.status).toBe(409)
          expect(answer.json).toMatchObject({ code: 'OTHER_STATE', detail: `path.id: ${said}`, state })
        })
      }
    }
    expect((await run('deliveries', 'retry', '1')).code).toBe(0)
    await refused('waiting', 'Wait: it is tried by itself when its turn comes.')
    await withGateway(async (at) => {
      expect(await at.store.claim(at.clock.now(), 3_600_000, 1)).toMatchObject([{ id: 1 }])
      for (const act of [retryDelivery, confirmDelivery])
        expect(await act(1, 'operator', at)).toMatchObject({ ok: false, state: 'claimed' })
      await at.store.settle({ id: 1, claims: 2 }, DELIVERED, auditEntry('x', 'delivery-attempted'))
    })
    const rows = () => withGateway(async ({ store }) => (await store.figures()).auditRows)
    const before = await rows()
    await refused('settled', 'None needed: the clinic has it.')
    expect(await rows()).toBe(before)
  })

  it('is not found under a number that none has', async () => {
    for (const verb of ['retry', 'confirm']) {
      const typed = await run('deliveries', verb, '9')
      expect([typed.code, typed.text]).toEqual([1, ''])
      expect(typed.remarks).toContain('<id>: expected the id of a delivery.')
      await withGateway(async (_at, listen) => {
        for (const id of ['9', 'nine']) {
          const answer = await ask(await listen(), `/deliveries/${id}/${verb}`, { method: 'POST' })
          expect([answer.status, answer.json]).toMatchObject([404, { code: 'NOT_FOUND' }])
          expect(answer.json).not.toHaveProperty('state')
        }
      })
    }
  })

  it('is queued again with all that a filter means, and never with none', async () => {
    expect((await run('deliveries', 'retry')).code).toBe(2)
    const { text } = await run('deliveries', 'retry', '--problem', 'CLINIC_REFUSED', '--json')
    expect(JSON.parse(text)).toEqual({ retried: 1 })
  })

  it('is settled when a person found it in the clinic’s record, and is never sent then', async () => {
    const posts = () => clinic.clinic.requests.filter(({ method }) => method === 'POST').length
    const before = posts()
    expect((await run('deliveries', 'confirm', '1')).text).toBe('Delivery 1 is settled.')
    await withGateway((at) => deliverOutbox(at))
    expect(posts()).toBe(before)
    const actions = await withGateway(async ({ store }) =>
      (await store.auditPage({ limit: 200 })).map(({ actor, action, about }) => ({ actor, action, about })),
    )
    expect(actions.at(-1)).toMatchObject({ actor: 'operator', action: 'delivery-confirmed' })
  })

  it('can be seen and steered over HTTP as well', async () => {
    await withGateway(async (_at, listen) => {
      const url = await listen()
      const { json: full } = await ask(url, '/deliveries/1')
      expect(full).toMatchObject({ problem: { code: 'CLINIC_REFUSED' }, said: { status: 422 } })
      const { json: preview } = await ask(url, '/deliveries/1/preview')
      expect(preview).toMatchObject({ way: { rung: 'transaction' } })
      expect((await ask(url, '/deliveries/9/preview')).status).toBe(404)
      expect((await ask(url, '/deliveries/retry', { method: 'POST' })).status).toBe(400)
      const retried = await ask(url, '/deliveries/retry?state=given-up', { method: 'POST' })
      expect(retried.json).toEqual({ retried: 1 })
      expect((await ask(url, '/deliveries/1/confirm', { method: 'POST' })).status).toBe(409)
      expect((await ask(url, '/deliveries?queuedBefore=yesterday')).json).toMatchObject({ code: 'BAD_TIME' })
    })
  })
})

describe('a delivery as it is shown', () => {
  const shownAlike = async (id: number) => {
    const shown = JSON.parse((await run('deliveries', 'show', String(id), '--json')).text)
    await withGateway(async (_at, listen) => {
      expect((await ask(await listen(), `/deliveries/${id}`)).json).toEqual(shown)
    })
    return shown
  }
  const inWords = async (id: number) =>
    (await run('deliveries', 'show', String(id))).text.replaceAll(/\s+/g, ' ')

  it('says when it was settled and where what it brought stands at the clinic', async () => {
    expect(await deliver('a')).toMatchObject({ settled: 1 })
    const { settled, held } = await shownAlike(1)
    const there = ['Observation', 'Provenance'].flatMap((type) =>
      clinic.clinic.kept.all(type).map((resource) => `${type}/${resource.id}`),
    )
    expect(held.map(({ reference }: { reference: string }) => reference).sort()).toEqual(there.sort())
    const words = await inWords(1)
    expect(words).toContain(`settled ${settled}`)
    for (const reference of there) expect(words).toContain(reference)
  })

  it('says nothing of where it stands when the clinic never told', async () => {
    clinic.clinic.faults.next([fault.status(422, { code: 'invariant', diagnostics: CANARY })])
    await deliver('a')
    expect((await run('deliveries', 'confirm', '1')).code).toBe(0)
    const shown = await shownAlike(1)
    expect(shown).toMatchObject({ state: 'settled', settled: expect.any(String) })
    expect(shown).not.toHaveProperty('held')
    expect(await inWords(1)).not.toContain('held')
  })

  it('says behind which of the same patient it waits, and why that is not settled', async () => {
    const stranger = { system: PATIENT.system, value: 'P-404' }
    expect(await deliverTo(stranger, 'a', 'b')).toMatchObject({ parked: 1 })
    expect(await shownAlike(2)).toMatchObject({
      state: 'waiting',
      behind: { id: 1, state: 'parked', problem: { code: 'PATIENT_UNKNOWN' } },
    })
    expect(await inWords(2)).toContain(
      'behind delivery 1 of the same patient, which goes first and is parked: PATIENT_UNKNOWN. The clinic’s server holds ' +
        'no patient with the identifier. See it with: deliveries show 1',
    )
    expect(await shownAlike(1)).not.toHaveProperty('behind')
    expect(await inWords(1)).not.toContain('behind')
  })
})

describe('a destination that will have nothing from us', () => {
  beforeEach(async () => {
    clinic.clinic.faults.next([fault.status(403)])
    expect(await deliver('a', 'b')).toMatchObject({ settled: 0, givenUp: 0 })
  })

  it('is stopped, and says so everywhere an operator looks', async () => {
    const { text } = await run('destinations', 'list')
    expect(text).toContain('stopped since')
    expect(text).toContain('CLINIC_FORBIDS')
    expect(text).toMatch(/oldest {3}queued .* ago/)
    await withGateway(async (_at, listen) => {
      const url = await listen()
      const { json } = await ask(url, '/destinations')
      expect(json).toMatchObject({
        items: [{ name: 'lantern-bay', stopped: { code: 'CLINIC_FORBIDS' }, entries: { waiting: 2 } }],
      })
      const metrics = await (await fetch(`${url}/metrics`)).text()
      expect(metrics).toContain('home_bp_destination_stopped{destination="lantern-bay"} 1')
      expect(metrics).toContain('home_bp_destination_resting{destination="lantern-bay"} 0')
      expect(metrics).toContain('home_bp_destination_entries{destination="lantern-bay",state="waiting"} 2')
    })
  })

  it('is sent to again once an operator resumes it, and everything arrives', async () => {
    expect(await withGateway((at) => deliverOutbox(at))).toMatchObject({ settled: 0, waiting: 0 })
    expect((await run('destinations', 'resume', 'lantern-bay')).text).toBe('lantern-bay is sent to again.')
    expect((await run('destinations', 'resume', 'lantern-bay')).text).toBe('lantern-bay was not stopped.')
    expect((await run('destinations', 'resume', 'nowhere')).code).toBe(1)
    expect(await withGateway((at) => deliverOutbox(at))).toMatchObject({ settled: 2 })
  })
})

describe('a destination whose server was never heard', () => {
  it('is said not to have been asked yet', async () => {
    const { text } = await run('destinations', 'list')
    expect(text).toContain('search-first, not asked yet')
    expect(text).not.toContain('gave no statement')
  })

  it('is shown with what stands in the way, when it cannot be reached', async () => {
    const written = JSON.parse(readFileSync(settings, 'utf8'))
    const nowhere = { name: 'lantern-bay', baseUrl: 'http://127.0.0.1:9/fhir' }
    writeFileSync(settings, JSON.stringify({ ...written, destinations: [nowhere] }))
    expect(await deliver('a')).toMatchObject({ settled: 0, waiting: 1 })
    const { text } = await run('destinations', 'list')
    expect(text).toContain('search-first, no answer yet')
    expect(text).toContain('problem  CLINIC_UNREACHABLE. The clinic’s server did not answer.')
    await withGateway(async (_at, listen) => {
      const { json } = await ask(await listen(), '/destinations')
      expect(json).toMatchObject({ items: [{ problem: { code: 'CLINIC_UNREACHABLE' } }] })
    })
  })
})

describe('the waits between attempts', () => {
  it('are printed as the settings make them, and end with the last attempt', async () => {
    const { text } = await run('deliveries', 'waits', '--json')
    const { waits } = JSON.parse(text)
    expect(waits).toHaveLength(199)
    expect(waits.slice(0, 3)).toMatchObject([
      { attempt: 1, longestMs: 5_000, totalMs: 5_000 },
      { attempt: 2, longestMs: 10_000, totalMs: 15_000 },
      { attempt: 3, longestMs: 20_000, totalMs: 35_000 },
    ])
  })

  it('outlast on average a server that is down from a Friday evening to the Tuesday morning after a holiday', async () => {
    const { waits } = JSON.parse((await run('deliveries', 'waits', '--json')).text)
    const onAverageHours = waits.at(-1).totalMs / 2 / 3_600_000
    expect(onAverageHours).toBeGreaterThan(3 * 24 + 12)
  })

  it('are one row where they are equally long', async () => {
    const { text } = await run('deliveries', 'waits')
    expect(text).toMatch(/│ 10 +│ 42 min 40 s +│ 1 h 25 min +│/)
    expect(text).toMatch(/│ 11 to 199 +│ 1 h 0 min +│ 7 d 22 h +│/)
  })
})
