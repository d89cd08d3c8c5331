/** What a person wrote or measured comes back in no remark of a command, and no command breaks on it. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { extname, join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { showsCanary } from '../fuzz/canaries.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'
import { withCanaries } from '../support/with-canaries.ts'

let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'told-'))
  const settings = {
    store: { file: join(folder, 'gateway.db') },
    sources: [{ name: 'harbour-app', title: 'Harbour home app' }],
    log: { level: 'silent' },
  }
  writeFileSync(join(folder, 'gateway.json'), JSON.stringify(settings))
})
afterAll(() => rmSync(folder, { recursive: true }))

const SITTINGS = 'samples/sessions/HW-1001.ndjson'
const BUNDLE = 'samples/bundles/average-typed-by-hand.json'

const COMMANDS: readonly (readonly [sample: string, ...words: string[]])[] = [
  [SITTINGS, 'convert', '--source', 'harbour-app'],
  [SITTINGS, 'average', '--protocol', 'nice-ng136-home', '--zone', 'Europe/London'],
  [SITTINGS, 'compare', '--zone', 'Europe/London'],
  [SITTINGS, 'receive', '--source', 'harbour-app', '--settings', 'SETTINGS'],
  ['samples/mapped/open-mhealth.ndjson', 'mapping', 'check', 'open-mhealth'],
  ['samples/mapped/fhir-observations.json', 'mapping', 'check', 'fhir-r4'],
  [
    'samples/mapped/diary-one-row-per-reading.csv',
    'mapping',
    'check',
    'diary-one-row-per-reading',
    '--zone',
    'Europe/London',
  ],
  [
    'samples/mapped/open-mhealth.ndjson',
    'receive',
    '--source',
    'harbour-app',
    '--mapping',
    'open-mhealth',
    '--settings',
    'SETTINGS',
  ],
  [BUNDLE, 'validate'],
  [BUNDLE, 'report'],
]

describe('a command', () => {
  it.each(COMMANDS.map(([sample, ...words]) => ({ sample, words })))(
    'tells nothing of what is in $sample: $words',
    async ({ sample, words }) => {
      const told: string[] = []
      let given = 0
      for (const text of some(withCanaries(readFileSync(sample, 'utf8')))) {
        const file = join(folder, `given${extname(sample)}`)
        writeFileSync(file, text)
        const terminal = recordedTerminal()
        const argv = [
          ...words.map((word) => (word === 'SETTINGS' ? join(folder, 'gateway.json') : word)),
          file,
        ]
        await runCommandLine(argv, terminal, openGateway, '0.0.0')
        given += 1
        // A verdict is a refusal too, though it is what was asked for.
        const refusals = words[0] === 'validate' ? terminal.output() + terminal.remarks() : terminal.remarks()
        if (showsCanary(refusals)) told.push(refusals)
      }
      expect(given).toBeGreaterThan(10)
      expect(told).toEqual([])
    },
  )
})

/** As many as are quick, from all over. */
function some(texts: Iterable<string>): readonly string[] {
  const all = [...texts]
  const step = Math.ceil(all.length / 12)
  return all.filter((_, index) => index < 3 || index % step === 0)
}
