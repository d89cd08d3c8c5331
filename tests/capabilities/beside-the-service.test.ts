/** Commands that work on the store directly do so while the service has it open, and the service sees what they did. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { readSettings } from '../../src/shell/config/reading/read-settings.ts'
import { ask, postJson } from '../support/ask.ts'
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

  it.each(['sources', 'receive'])('is where %s says that it works', async (command) => {
    const at = recordedTerminal()
    await runCommandLine([command, '--help'], at, openGateway, '0.0.0')
    const help = at.output().replaceAll(/\s+/g, ' ')
    expect(help).toContain('the service may go on running')
    expect(help).not.toMatch(/stop the service/i)
  })
})
