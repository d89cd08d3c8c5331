/** Which protocols are loaded, a clinic's own included, from the command line and over HTTP alike. */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { stripVTControlCharacters } from 'node:util'
import { afterAll, describe, expect, it } from 'vitest'
import type { ToldProtocol } from '../../src/flow/operate/told-protocols.ts'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { ask } from '../support/ask.ts'
import { openDoor } from '../support/open-door.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

const folder = mkdtempSync(join(tmpdir(), 'protocols-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

async function list(...words: readonly string[]): Promise<string> {
  const at = recordedTerminal()
  expect(await runCommandLine(['protocols', ...words], at, openGateway, '0.0.0')).toBe(0)
  return stripVTControlCharacters(at.output())
}

describe('the protocols that are loaded', () => {
  it('are listed with title and source over HTTP, those for recordings of 24 hours after the others', async () => {
    const door = await openDoor()
    try {
      const { status, json } = await ask(door.url, '/protocols')
      const { items } = json as { items: readonly ToldProtocol[] }
      expect(status).toBe(200)
      const { protocols, recordingRules } = door.ports.catalogue
      expect(items.map(({ id }) => id)).toEqual([
        ...[...protocols.keys()].sort(),
        ...[...recordingRules.keys()].sort(),
      ])
      expect(items.find(({ id }) => id === 'nice-ng136-home')).toEqual({
        id: 'nice-ng136-home',
        title: 'NICE NG136 home monitoring: 4 to 7 days, twice a day, first day left out',
        averages: 'home',
        evidence: 'read',
        citation: {
          text: expect.stringContaining('NICE guideline NG136'),
          url: 'https://www.nice.org.uk/guidance/ng136',
        },
      })
    } finally {
      await door.close()
    }
  })

  it('are listed from the command line, a clinic’s own among them', async () => {
    const own = JSON.parse(readFileSync('profiles/protocols/nice-ng136-home.json', 'utf8'))
    mkdirSync(join(folder, 'protocols'))
    const document = { ...own, id: 'lantern-bay-home', title: 'As Lantern Bay measures' }
    writeFileSync(join(folder, 'protocols/own.json'), JSON.stringify(document))
    const settings = join(folder, 'gateway.json')
    writeFileSync(settings, JSON.stringify({ protocolsFolder: join(folder, 'protocols') }))
    const shown = await list('--settings', settings)
    expect(shown).toContain('lantern-bay-home')
    expect(shown.replaceAll(/\s+/g, ' ')).toContain('As Lantern Bay measures')
    expect(shown).toContain('aha-2019-home')
    const { items } = JSON.parse(await list('--settings', settings, '--json'))
    expect(items.map(({ id }: ToldProtocol) => id)).toContain('lantern-bay-home')
  })
})
