import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { stripVTControlCharacters } from 'node:util'
import type { Bundle, Observation } from 'fhir/r4.js'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { AuditReport } from '../../src/core/audit-report/audit-report.ts'
import { REPORT_CAUTIONS } from '../../src/core/audit-report/report-cautions.ts'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { emittedResources } from '../support/emitted-resources.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

const folder = mkdtempSync(join(tmpdir(), 'audit-report-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const SAMPLES = new URL('../../samples/sessions/', import.meta.url).pathname

async function run(...words: string[]) {
  const at = recordedTerminal()
  return { code: await runCommandLine(words, at, openGateway, '1.2.3'), at }
}

function file(name: string, value: unknown): string {
  const path = join(folder, name)
  mkdirSync(dirname(path), { recursive: true })
  writeFileSync(path, typeof value === 'string' ? value : JSON.stringify(value))
  return path
}

async function reported(...words: string[]): Promise<{ code: number; report: AuditReport }> {
  const { code, at } = await run('report', '--json', '--', ...words)
  return { code, report: JSON.parse(at.output()) }
}

const emitted = emittedResources().map(([, resource]) => resource)

/** A session’s bundle as the gateway sends it. */
function sessionBundle(): Bundle<Observation> {
  const bundle = emitted.find(({ resourceType }) => resourceType === 'Bundle')
  return structuredClone(bundle) as Bundle<Observation>
}

/** Where the first Observation stands in the bundle. */
function firstObservation(bundle: Bundle<Observation>): number {
  return bundle.entry?.findIndex(({ resource }) => resource?.resourceType === 'Observation') ?? -1
}

describe('a report on what the gateway writes', () => {
  it('finds all of it valid, whatever is odd about it', async () => {
    const path = file('ours/all.ndjson', emitted.map((one) => JSON.stringify(one)).join('\n'))
    const { code, report } = await reported(path)
    expect(report.rules.filter(({ severity }) => severity === 'error' || severity === 'fatal')).toEqual([])
    expect(report.verdicts.invalid).toBe(0)
    expect(report.read).toMatchObject({ files: 1, handedOver: emitted.length, unreadable: 0 })
    expect(code).toBe(0)
  })

  it('finds the converted samples valid, and counts the resources in their bundles by type', async () => {
    const convert = ['convert', '--source', 'harbour-app', `${SAMPLES}HW-1003.ndjson`]
    file('samples/HW-1003.json', (await run(...convert)).at.output())
    const { code, report } = await reported(join(folder, 'samples'))
    expect(code).toBe(0)
    expect(report.types.map(({ type, resources }) => [type, resources])).toEqual([
      ['Observation', 84],
      ['Bundle', 1],
    ])
  })
})

describe('a report on a falsified bundle', () => {
  let path: string
  let entry: number

  beforeAll(() => {
    const bundle = sessionBundle()
    entry = firstObservation(bundle)
    const observation = bundle.entry?.[entry]?.resource
    if (observation === undefined) throw new Error('the bundle has no Observation')
    Reflect.deleteProperty(observation, 'status')
    observation.valueString = 'Secret note'
    path = file('falsified/bundle.json', bundle)
  })

  it('shows each broken rule with its place, and ends with 1', async () => {
    const { code, report } = await reported(path)
    expect(code).toBe(1)
    expect(report.verdicts).toEqual({ valid: 0, validWithRemarks: 0, invalid: 1 })
    const places = report.rules
      .filter(({ severity }) => severity === 'error')
      .flatMap(({ expectations }) => expectations.flatMap((one) => one.places))
    expect(places).toContainEqual({ file: path, at: `Bundle.entry[${entry}].resource.status` })
    const observations = report.types.find(({ type }) => type === 'Observation')
    expect(observations?.invalid).toBe(1)
    expect(JSON.stringify(report)).not.toContain('Secret note')
  })

  it('names the line in NDJSON and the item in an array', async () => {
    const observation = { resourceType: 'Observation', code: { text: 'Secret note' } }
    const lines = file('falsified/lines.ndjson', `${JSON.stringify(sessionBundle())}\n{"resourceType":\n`)
    const array = file('falsified/array.json', [sessionBundle(), observation])
    const { report } = await reported(lines, array)
    const places = report.rules.flatMap(({ expectations }) => expectations.flatMap((one) => one.places))
    expect(places).toContainEqual(expect.objectContaining({ file: lines, line: 2 }))
    expect(places).toContainEqual({ file: array, item: 2, at: 'Observation.status' })
    expect(report.read.unreadable).toBe(1)
  })

  it('is told on the terminal with the first place of each rule and the cautions', async () => {
    const { code, at } = await run('report', path)
    expect(code).toBe(1)
    const words = stripVTControlCharacters(at.output()).replaceAll(/\s+/g, ' ')
    expect(words).toContain('The one resource is not valid.')
    expect(words).toContain(`first ${path} Bundle.entry[${entry}].resource`)
    for (const caution of REPORT_CAUTIONS) expect(words).toContain(caution)
    expect(words).not.toContain('Secret note')
  })
})

describe('the files of a report', () => {
  it('are written as they are named, and take the place of earlier reports', async () => {
    const input = file('written/in.json', sessionBundle())
    const [html, json] = [join(folder, 'written/out.html'), join(folder, 'written/out.json')]
    for (const _ of ['first', 'again']) {
      const { code, at } = await run('report', join(folder, 'written'), '--html', html, '--json', json)
      expect(code).toBe(0)
      expect(at.output()).toBe('')
    }
    const report: AuditReport = JSON.parse(readFileSync(json, 'utf8'))
    expect(report.made).toMatchObject({ by: 'home-bp-gateway', version: '1.2.3' })
    expect(Date.parse(report.made.at)).toBeGreaterThan(Date.UTC(2026, 0))
    // The report that was written into the folder is not read as a resource of it.
    expect(report.read).toMatchObject({ paths: [join(folder, 'written')], handedOver: 1, skipped: 1 })
    expect(readFileSync(html, 'utf8')).toContain('The one resource is valid.')
    expect(readFileSync(input, 'utf8')).toBe(JSON.stringify(sessionBundle()))
  })

  it('never take the place of anything else: ends with 2 and changes nothing', async () => {
    const input = file('kept/bundle.json', sessionBundle())
    for (const option of ['--json', '--html']) {
      const { code, at } = await run('report', option, input)
      expect(code).toBe(2)
      expect(at.remarks()).toContain(input)
    }
    expect(readFileSync(input, 'utf8')).toBe(JSON.stringify(sessionBundle()))
  })

  it('that cannot be written end the command with 3', async () => {
    const input = file('kept/other.json', sessionBundle())
    const { code, at } = await run('report', input, '--html', join(folder, 'no-such-folder/out.html'))
    expect(code).toBe(3)
    expect(at.remarks()).toContain('no-such-folder')
  })
})

describe('a report that cannot be made', () => {
  it('ends with 3 for a path that is not there', async () => {
    const { code, at } = await run('report', join(folder, 'absent'))
    expect(code).toBe(3)
    expect(at.remarks()).toContain('absent')
  })

  it('ends with 2 for a profile that is not loaded', async () => {
    const input = file('asked/bundle.json', sessionBundle())
    const { code, at } = await run('report', input, '--profile', 'http://example.org/none-such')
    expect(code).toBe(2)
    expect(at.remarks()).toContain('--profile')
  })

  it('names each file that holds nothing to report on', async () => {
    const list = file('hollow/arr.json', '[]')
    const lines = file('hollow/e.ndjson', '')
    file('hollow/bundle.json', sessionBundle())
    const { report } = await reported(join(folder, 'hollow'))
    expect(report.read).toMatchObject({ handedOver: 1, empty: [list, lines] })
    const page = join(folder, 'hollow-report.html')
    const { at } = await run('report', join(folder, 'hollow'), '--html', page)
    expect(readFileSync(page, 'utf8')).toMatch(new RegExp(`Without a resource</dt><dd>.*${list}.*${lines}`))
    expect(at.output()).toBe('')
    const shown = await run('report', join(folder, 'hollow'))
    expect(shown.at.output().replaceAll(/\s+/g, ' ')).toContain(`No resource in: ${list}, ${lines}.`)
  })

  it('ends with 1 where there is nothing to report on: nothing is not all valid', async () => {
    file('empty/readme.txt', 'none')
    const { code, report } = await reported(join(folder, 'empty'))
    expect(code).toBe(1)
    expect(report.read).toMatchObject({ handedOver: 0, skipped: 1 })
  })
})
