import { spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { stripVTControlCharacters } from 'node:util'
import { Ajv } from 'ajv'
import type { Bundle, FhirResource, OperationOutcome } from 'fhir/r4.js'
import type { Log, Result } from 'sarif'
import { afterAll, describe, expect, it } from 'vitest'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { type RecordedTerminal, recordedTerminal } from '../support/recorded-terminal.ts'

const folder = mkdtempSync(join(tmpdir(), 'validate-'))
afterAll(() => rmSync(folder, { recursive: true }))

const RIGHT = {
  resourceType: 'Patient',
  text: { status: 'generated', div: '<div xmlns="http://www.w3.org/1999/xhtml">A patient</div>' },
  active: true,
}
const REMARKED = { resourceType: 'Patient', active: true }
const AVERAGE = 'samples/bundles/average-of-a-week.json'
const FALSE_AVERAGE = 'samples/bundles/average-typed-by-hand.json'
/** Of a clinic that keeps its readings elsewhere: nothing to work it out again from. */
const ALONE = 'samples/sent/readings-never.json'
const WRONG = { resourceType: 'Patient', active: 'yes', gender: 'both' }

function put(name: string, text: string): string {
  const path = join(folder, name)
  mkdirSync(join(path, '..'), { recursive: true })
  writeFileSync(path, text)
  return path
}

/** A bundle with its average entered in error. */
function takenBack(file: string): string {
  const bundle: Bundle<FhirResource> = JSON.parse(readFileSync(file, 'utf8'))
  for (const { resource } of bundle.entry ?? []) {
    if (resource?.resourceType === 'Observation') resource.status = 'entered-in-error'
  }
  return JSON.stringify(bundle)
}

async function validate(...words: string[]): Promise<{ code: number; at: RecordedTerminal; shown: string }> {
  const at = recordedTerminal()
  const code = await runCommandLine(['validate', ...words], at, openGateway, '0.0.0')
  return { code, at, shown: stripVTControlCharacters(at.output()) }
}

const ndjson = put(
  'mixed/a.ndjson',
  [JSON.stringify(RIGHT), '', JSON.stringify(WRONG), '{"resourceType":', JSON.stringify(REMARKED)].join('\n'),
)
const whole = put('mixed/inner/b.json', JSON.stringify(WRONG, null, 2))
const array = put('mixed/inner/c.json', JSON.stringify([RIGHT, WRONG], null, 2))
put('mixed/notes.txt', 'no resource')

describe('validate', () => {
  it('judges each resource of a folder and its folders, by file, line and position', async () => {
    const { code, shown } = await validate(join(folder, 'mixed'))
    expect(code).toBe(1)
    expect(shown.split('\n').filter((line) => !line.startsWith(' '))).toEqual([
      `valid  ${ndjson}:1`,
      `not valid  ${ndjson}:3`,
      `not valid  ${ndjson}:4`,
      `valid with remarks  ${ndjson}:5`,
      `not valid  ${whole}`,
      `valid  ${array}, item 1`,
      `not valid  ${array}, item 2`,
    ])
  })

  it('names the line of each element in a JSON file', async () => {
    const { shown } = await validate(whole)
    expect(shown).toMatch(/error {2}line 3: Patient\.active: expected/)
    expect(shown).toMatch(/error {2}line 4: Patient\.gender: expected/)
  })

  it('sums up how many, of what verdict, by which rules, and what was left aside', async () => {
    const { at } = await validate(join(folder, 'mixed'))
    const remarks = stripVTControlCharacters(at.remarks())
    expect(remarks).toContain('7 resources in 3 files: 2 valid, 1 valid with remarks, 4 not valid.')
    expect(remarks).toMatch(/Most often broken: .*NOT_JSON \(1\)/)
    expect(remarks).toContain('1 file left aside')
    expect(remarks).toContain('Valid says that a resource is well formed')
  })

  it('sums up the rules most often broken first, whatever their severity, and one of a thing as one', async () => {
    const wrong = {
      resourceType: 'Patient',
      active: 'yes',
      gender: 'both',
      birthDate: 'x',
      deceasedBoolean: 'no',
    }
    const file = put('often.ndjson', `{"resourceType":\n${JSON.stringify(wrong)}\n`)
    const { at } = await validate(file)
    expect(stripVTControlCharacters(at.remarks())).toMatch(
      /Most often broken: STRUCTURE \([34]\), .*NOT_JSON \(1\)/,
    )
    const average = await validate(AVERAGE)
    expect(average.at.remarks()).toContain('1 agrees with its readings, 0 differ, 0 could not be')
    const entry = [1, 2].map((at) => ({
      fullUrl: `https://clinic.example/Patient/${at}`,
      resource: REMARKED,
    }))
    const two = put('two.json', JSON.stringify({ resourceType: 'Bundle', type: 'collection', entry }))
    expect((await validate(two)).shown).toMatch(/ and in 1 more place$/m)
  })

  it('tells where text is no JSON once', async () => {
    const { shown } = await validate(put('cut.json', '{"resourceType":\n'))
    expect(shown).toContain('error  line 1: column 17: expected')
    expect(shown).not.toContain('line 1: line 1')
  })

  it('knows a number that cannot be represented for one', async () => {
    const text = '{"resourceType":"Observation","valueQuantity":{"value":-1e999999}}'
    const { shown } = await validate(put('beyond.json', text))
    expect(shown).toContain('Observation.value.value: expected a number that can be represented')
    const quoted = await validate(put('quoted.json', text.replace('-1e999999', '"1"')))
    expect(quoted.shown).toContain('Observation.value.value: expected a number, without quotes')
  })

  it('names each file without a resource, and says what was expected where there is none at all', async () => {
    const list = put('hollow/arr.json', '[]')
    const lines = put('hollow/e.ndjson', '')
    put('hollow/right.json', JSON.stringify(RIGHT))
    const { code, at } = await validate(join(folder, 'hollow'))
    expect(code).toBe(0)
    const remarks = stripVTControlCharacters(at.remarks())
    expect(remarks).toContain('1 resource in 1 file: 1 valid')
    expect(remarks).toContain(`No resource in: ${list}, ${lines}.`)
    expect(remarks).not.toContain('Nothing was judged')

    mkdirSync(join(folder, 'bare'))
    const none = await validate(join(folder, 'bare'))
    expect(none.code).toBe(1)
    expect(none.at.remarks()).toContain(`No resource in: ${join(folder, 'bare')}.`)
    expect(none.at.remarks()).toContain('expected FHIR R4 resources, in files named .json or .ndjson')
  })

  it.each([
    ['0 when all are valid', [put('right.json', JSON.stringify(RIGHT))], 0],
    ['0 when there are only remarks', [put('remarked.json', JSON.stringify(REMARKED))], 0],
    ['1 when one is not valid', [whole], 1],
    ['1 when there is none to judge', [put('empty/none.ndjson', '')], 1],
    ['2 for an option it does not know', ['--colour', whole], 2],
    ['2 for a profile that is not loaded', ['--profile', 'https://clinic.example/none', whole], 2],
    ['3 for a file that is not there', [join(folder, 'absent.json')], 3],
    ['3 for a folder of profiles that is not there', ['--profiles-folder', join(folder, 'no'), whole], 3],
  ])('ends with %s', async (_what, words, code) => {
    expect((await validate(...words)).code).toBe(code)
  })

  it.each([
    ['0 for a false average, which is a warning', [FALSE_AVERAGE], 0],
    ['1 for a false average, where averages are to be right', ['--fail-on', 'average', FALSE_AVERAGE], 1],
    ['1 for a false average, where there is to be no warning', ['--fail-on', 'warning', FALSE_AVERAGE], 1],
    [
      '0 for a true average with warnings, where averages are to be right',
      ['--fail-on', 'average', AVERAGE],
      0,
    ],
    ['1 for a true average with warnings, where there is to be none', ['--fail-on', 'warning', AVERAGE], 1],
    ['0 for an average that cannot be worked out again', ['--fail-on', 'average', ALONE], 0],
    [
      '1 for an average that cannot be worked out again, where each is to be',
      ['--fail-on', 'unproven', ALONE],
      1,
    ],
    [
      '1 for a false average, where each is to be worked out again',
      ['--fail-on', 'unproven', FALSE_AVERAGE],
      1,
    ],
    ['0 for a true average with warnings, where each is to be', ['--fail-on', 'unproven', AVERAGE], 0],
    ['0 for one that was taken back', ['--fail-on', 'unproven', put('back.json', takenBack(ALONE))], 0],
    [
      '1 for one beside another that was taken back',
      ['--fail-on', 'unproven', ALONE, put('back.json', takenBack(ALONE))],
      1,
    ],
    ['0 where there is no average', ['--fail-on', 'unproven', put('right.json', JSON.stringify(RIGHT))], 0],
    ['1 for what is not valid, whatever is proven', ['--fail-on', 'unproven', whole], 1],
    ['0 without a warning', ['--fail-on', 'warning', put('right.json', JSON.stringify(RIGHT))], 0],
    ['1 for what is not valid, whatever else is to be right', ['--fail-on', 'average', whole], 1],
    ['1 where there is nothing to judge', ['--fail-on', 'warning', put('empty/none.ndjson', '')], 1],
    ['2 for anything else to fail on', ['--fail-on', 'everything', whole], 2],
  ])('ends with %s, and so does report', async (_what, words, code) => {
    expect((await validate(...words)).code).toBe(code)
    expect(await runCommandLine(['report', ...words], recordedTerminal(), openGateway, '0.0.0')).toBe(code)
  })

  it('names the profile that is not known, as far as it is a URL', async () => {
    const url = 'https://elsewhere.example/StructureDefinition/blood-pressure'
    const long = `https://elsewhere.example/${'x'.repeat(400)}`
    const claimed = { ...RIGHT, meta: { profile: [`${url}|2.1`, long, 'Rowan-Thistle'] } }
    const file = put('claimed.json', JSON.stringify(claimed))
    const { shown } = await validate(file)
    expect(shown).toContain(`known here: ${url} is not, and nothing of it was judged`)
    expect(shown).toContain(`known here: ${long.slice(0, 200)}… is not`)
    expect(shown).not.toContain('Rowan-Thistle')
    expect((await validate('--json', file)).at.output()).toContain(`${url} is not`)
    const page = join(folder, 'claimed.html')
    await runCommandLine(['report', file, '--html', page], recordedTerminal(), openGateway, '0.0.0')
    expect(readFileSync(page, 'utf8')).toContain(`${url} is not`)
  })

  it('names the file among the profiles that cannot be used, and why', async () => {
    const file = put('profiles/patient.json', JSON.stringify(RIGHT))
    const { code, at } = await validate('--profiles-folder', join(folder, 'profiles'), whole)
    expect(code).toBe(3)
    expect(at.remarks()).toContain(file)
    expect(at.remarks()).toContain('a StructureDefinition, ValueSet or CodeSystem')
  })

  it('writes one OperationOutcome a line with --json, each with its file, each issue with its line', async () => {
    const { code, at } = await validate('--json', join(folder, 'mixed'))
    expect(code).toBe(1)
    const outcomes: OperationOutcome[] = at
      .output()
      .split('\n')
      .map((line) => JSON.parse(line))
    expect(outcomes.map(({ extension }) => extension?.[0]?.valueString)).toEqual([
      ...Array(4).fill(ndjson),
      whole,
      array,
      array,
    ])
    const lines = outcomes.map(({ issue }) => issue[0]?.extension?.[0]?.valueInteger)
    expect(lines).toEqual([1, 3, 4, 5, 3, undefined, 12])
  })

  it('reads standard input, which has lines only where it is NDJSON', () => {
    const ran = spawnSync(process.execPath, ['--import', 'tsx', 'src/cli.ts', 'validate', '-'], {
      input: `${JSON.stringify(RIGHT)}\n${JSON.stringify(WRONG)}\n`,
      encoding: 'utf8',
    })
    expect(ran.status).toBe(1)
    expect(stripVTControlCharacters(ran.stdout)).toMatch(/^valid {2}-:1\nnot valid {2}-:2\n/)
  }, 30_000)
})

describe('validate --sarif', () => {
  const sarif = join(folder, 'log.sarif')
  const log = async (...paths: string[]): Promise<Log> => {
    await validate('--sarif', sarif, ...paths)
    return JSON.parse(readFileSync(sarif, 'utf8'))
  }
  const resultsOf = (one: Log): readonly Result[] => one.runs[0]?.results ?? []
  const placeOf = ({ locations: [first] = [] }: Result) => [
    first?.physicalLocation?.artifactLocation?.uri,
    first?.physicalLocation?.region?.startLine,
    first?.logicalLocations?.[0]?.fullyQualifiedName,
  ]

  it('writes what the published schema of SARIF 2.1.0 accepts', async () => {
    const require = createRequire(import.meta.url)
    const {
      $schema: _,
      id: __,
      ...schema
    } = require('@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json')
    const accepts = new Ajv({ strict: false, validateFormats: false, unicodeRegExp: false }).compile(schema)
    expect([accepts(await log(join(folder, 'mixed'))), accepts.errors]).toEqual([true, null])
    expect(accepts({ version: '2.1.0', runs: [{}] })).toBe(false)
  })

  it('places each issue by file, line and FHIRPath, under the key of its rule', async () => {
    const results = resultsOf(await log(ndjson, whole))
    const file = (path: string) => pathToFileURL(path).href
    const errors = results.filter(({ level }) => level === 'error')
    expect(errors.map(placeOf)).toEqual(
      expect.arrayContaining([
        [file(ndjson), 3, 'Patient.active'],
        [file(ndjson), 4, undefined],
        [file(whole), 3, 'Patient.active'],
        [file(whole), 4, 'Patient.gender'],
      ]),
    )
    expect(results).toContainEqual(expect.objectContaining({ ruleId: 'dom-6', level: 'warning' }))
  })

  it('lists each rule once, where the results point to', async () => {
    const one = await log(join(folder, 'mixed'))
    const rules = one.runs[0]?.tool.driver.rules ?? []
    expect(new Set(rules.map(({ id }) => id)).size).toBe(rules.length)
    for (const { ruleId, ruleIndex = -1 } of resultsOf(one)) expect(rules[ruleIndex]?.id).toBe(ruleId)
  })

  it('says how the run ended', async () => {
    expect((await log(whole)).runs[0]?.invocations).toEqual([{ executionSuccessful: true, exitCode: 1 }])
  })

  it('names files of the working folder without the folder', async () => {
    const results = resultsOf(await log('package.json'))
    expect(results.map((one) => placeOf(one)[0])).toContain('package.json')
  })

  it('takes the place of an earlier log only', async () => {
    const { code, at } = await validate('--sarif', whole, ndjson)
    expect(code).toBe(2)
    expect(at.remarks()).toContain(whole)
    expect(JSON.parse(readFileSync(whole, 'utf8'))).toEqual(WRONG)
  })
})
