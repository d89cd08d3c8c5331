/** Commands that work on the store directly do so while the service has it open, and the service sees what they did. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { deliverOutbox } from '../../src/flow/deliver/deliver-outbox.ts'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { readSettings } from '../../src/shell/config/reading/read-settings.ts'
import { ask, postJson } from '../support/ask.ts'
import { startHostileClinic } from '../support/hostile-clinic/start-hostile-clinic.ts'
import { rawRecord } from '../support/raw-record.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

const folder = mkdtempSync(join(tmpdir(), 'beside-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('beside a running service', () => {
  it('sources are added and files received, and the service takes over from there', async () => {
    const settings = join(folder, 'gateway.json')
    const store = { file: join(folder, 'gateway.db') }
    writeFileSync(settings, JSON.stringify({ listen: { port: 0 }, store, log: { level: 'silent' } }))
    const run = async (...words: readonly string[]) => {
      const at = recordedTerminal()
      return runCommandLine([...words, '--settings', settings], at, openGateway, '0.0.0')
    }
    const gateway = await openGateway(readSettings(settings, {}))
    try {
      const { url } = await gateway.listen()
      expect(await run('sources', 'add', 'harbour-app')).toBe(0)
      const path = '/sessions?source=harbour-app'
      expect((await postJson(url, path, rawRecord({ id: 'by-door' }))).status).toBe(201)
      const file = join(folder, 'records.json')
      writeFileSync(file, JSON.stringify([rawRecord({ id: 'by-door' }), rawRecord({ id: 'by-file' })]))
      expect(await run('receive', '--source', 'harbour-app', file)).toBe(0)
      for (const id of ['by-door', 'by-file'])
        expect((await ask(url, `/sessions/${id}?source=harbour-app`)).status).toBe(200)
      expect((await postJson(url, path, rawRecord({ id: 'by-file' }))).json).toMatchObject({
        outcome: 'same',
      })
    } finally {
      await gateway.stop()
    }
  })

  it('a person is linked to another patient, and what the service brought follows at once', async () => {
    const [system, wrong, right] = ['https://clinic.example/mrn', 'P-wrong', 'P-right']
    const { clinic, baseUrl, close } = await startHostileClinic({
      patients: [wrong, right].map((value) => ({ system, value })),
    })
    const settings = join(folder, 'linking.json')
    const store = { file: join(folder, 'linking.db') }
    const sources = [{ name: 'harbour-app', title: 'Harbour' }]
    const destinations = [{ name: 'clinic', baseUrl }]
    writeFileSync(settings, JSON.stringify({ store, sources, destinations, log: { level: 'silent' } }))
    const link = (value: string) => {
      const to = ['--patient-system', system, '--patient', value, '--zone', 'America/Denver']
      const words = ['enrolments', 'set', 'harbour-app', 'HW-1042', ...to, '--destination', 'clinic']
      return runCommandLine([...words, '--settings', settings], recordedTerminal(), openGateway, '0.0.0')
    }
    const gateway = await openGateway(readSettings(settings, {}))
    try {
      expect(await link(wrong)).toBe(0)
      const { url } = await gateway.listen()
      expect((await postJson(url, '/sessions?source=harbour-app', rawRecord())).status).toBe(201)
      expect(await deliverOutbox(gateway.ports)).toMatchObject({ settled: 1 })
      expect(await link(right)).toBe(0)
      expect(await deliverOutbox(gateway.ports)).toMatchObject({ settled: 1 })
      const [, patient] = clinic.kept.all('Patient')
      const subjects = clinic.kept.all('Observation').map(({ subject }) => subject)
      expect(subjects.length).toBeGreaterThan(0)
      for (const subject of subjects) expect(subject).toMatchObject({ reference: `Patient/${patient?.id}` })
    } finally {
      await gateway.stop()
      await close()
    }
  })

  it.each(['sources', 'receive'])('is where %s says that it works', async (command) => {
    const at = recordedTerminal()
    await runCommandLine([command, '--help'], at, openGateway, '0.0.0')
    const help = at.output().replaceAll(/\s+/g, ' ')
    expect(help).toContain('the service may go on running')
    expect(help).not.toMatch(/stop the service/i)
  })
})
