import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { stripVTControlCharacters } from 'node:util'
import { afterAll, describe, expect, it } from 'vitest'
import { CAUTION } from '../../src/core/clinical/report/caution.ts'
import { validateResource } from '../../src/core/validation/validate-resource.ts'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { rawRecord, rawRecording } from '../support/raw-record.ts'
import { type RecordedTerminal, recordedTerminal } from '../support/recorded-terminal.ts'

const folder = mkdtempSync(join(tmpdir(), 'command-line-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const SAMPLES = new URL('../../samples/sessions/', import.meta.url).pathname

async function run(...words: string[]): Promise<{ code: number; at: RecordedTerminal }> {
  const at = recordedTerminal()
  return { code: await runCommandLine(words, at, openGateway, '0.0.0'), at }
}

function file(name: string, text: string): string {
  const path = join(folder, name)
  writeFileSync(path, text)
  return path
}

describe('the command line', () => {
  it.each([
    'serve',
    'convert',
    'average',
    'compare',
    'validate',
    'report',
    'sources',
    'keys',
    'store',
    'audit',
    'deliveries',
    'destinations',
    'demo',
  ])('explains %s with --help', async (command) => {
    const { code, at } = await run(command, '--help')
    expect(code).toBe(0)
    expect(at.output()).toContain(`home-bp-gateway ${command}`)
  })

  it('shows the cautions and the exit codes where it explains itself', async () => {
    const { at } = await run('--help')
    expect(at.output()).toContain(CAUTION)
    expect(at.output()).toContain('Exit codes: 0 done')
  })

  it.each([
    [['nonsense']],
    [['convert', '--nonsense']],
    [['average', '--protocol']],
    [['convert', 'x.json']],
    [['convert', '--source', 'A b', `${SAMPLES}HW-1003.ndjson`]],
    [['mapping', 'check', 'open-mhealth', '--source', 'A b', 'x.ndjson']],
    [['sources', 'key']],
    [['validate', '--sarif', '-', 'x.json']],
    [['report', '--json', '-', 'x.json']],
    [['average', '--arm-cm', '9', 'x.json']],
    [['enrolments', 'set', 'harbour-app', 'HW-1', '--arm-cm', '81']],
  ])('ends with 2 when it cannot understand %j', async (words) => {
    expect((await run(...words)).code).toBe(2)
  })

  it('ends with 3 when a file cannot be read, naming it', async () => {
    const { code, at } = await run('convert', '--source', 'harbour-app', join(folder, 'absent.json'))
    expect(code).toBe(3)
    expect(at.remarks()).toContain(`cannot read ${join(folder, 'absent.json')}: there is no such file. Check`)
  })

  it('says why a file cannot be read or written, and what to do', async () => {
    const remarks = async (...words: string[]) => (await run(...words)).at.remarks()
    const read = (path: string) => remarks('convert', '--source', 'harbour-app', path)
    expect(await read(folder)).toContain(
      `cannot read ${folder}: it is a folder. Name a file in it. [FILE_FAILED]`,
    )
    const under = join(file('plain', ''), 'x.json')
    expect(await read(under)).toContain(
      `${join(folder, 'plain')} is not a folder. Check the path. [FILE_FAILED]`,
    )
    expect(await read(join(folder, 'nowhere', 'x.json'))).toContain(
      `there is no folder ${join(folder, 'nowhere')}`,
    )
    const report = await remarks(
      'report',
      file('none.json', '{}'),
      '--html',
      join(folder, 'nowhere', 'x.html'),
    )
    expect(report).toContain(
      `there is no folder ${join(folder, 'nowhere')}. Check the path, or make the folder.`,
    )
  })
})

describe('convert', () => {
  it('turns an NDJSON file into a valid Bundle', async () => {
    const { code, at } = await run('convert', '--source', 'harbour-app', `${SAMPLES}HW-1003.ndjson`)
    expect(code).toBe(0)
    const bundle = JSON.parse(at.output())
    expect(bundle.entry).toHaveLength(84)
    expect(validateResource(bundle).filter(({ severity }) => severity !== 'warning')).toEqual([])
    expect(at.remarks()).toContain(CAUTION)
  })

  it('reads one object and an array alike', async () => {
    const one = file('one.json', JSON.stringify(rawRecord()))
    const array = file('array.json', JSON.stringify([rawRecord()]))
    const outputs = await Promise.all(
      [one, array].map((path) => run('convert', '--source', 'harbour-app', path)),
    )
    expect(outputs[0]?.at.output()).toBe(outputs[1]?.at.output())
  })

  it('gives the same bytes for the same input', async () => {
    const [first, second] = await Promise.all(
      [1, 2].map(() => run('convert', '--source', 'harbour-app', '--ndjson', `${SAMPLES}HW-1001.ndjson`)),
    )
    expect(first?.at.output()).toBe(second?.at.output())
    expect(first?.at.output().split('\n')).toHaveLength(84)
  })

  it('lists each refused record with file, line, place and code, keeps going, and ends with 1', async () => {
    const { subject: _, ...without } = rawRecord()
    const path = file('mixed.ndjson', [without, rawRecord()].map((one) => JSON.stringify(one)).join('\n'))
    const { code, at } = await run('convert', '--source', 'harbour-app', '--json', path)
    expect(code).toBe(1)
    const { bundle, refused } = JSON.parse(at.output())
    expect(bundle.entry.length).toBeGreaterThan(0)
    expect(refused).toEqual([
      expect.objectContaining({
        line: 1,
        issues: [expect.objectContaining({ code: 'MISSING_KEY', at: 'subject' })],
      }),
    ])
  })

  it('writes no empty list when nothing was converted', async () => {
    const { at } = await run('convert', '--source', 'harbour-app', file('none.json', '{}'))
    expect(JSON.parse(at.output())).toEqual({ resourceType: 'Bundle', type: 'collection' })
  })
})

describe('average', () => {
  const week = ['average', '--protocol', 'nice-ng136-home', '--zone', 'Europe/London']

  it('prints the average, its rule and source, what was left out, and the caution', async () => {
    const { code, at } = await run(...week, `${SAMPLES}HW-1002.ndjson`)
    expect(code).toBe(0)
    const words = at.output().replaceAll(/\s+/g, ' ')
    expect(words).toContain('132.8/79.6 mmHg')
    expect(words).toContain('24 of 28 readings')
    expect(words).toContain('NICE guideline NG136')
    expect(words).toContain(CAUTION)
    expect(words).not.toContain('too few')
  })

  it('says in its table too when there are too few readings for the rule', async () => {
    const triplicate = ['average', '--protocol', 'family-practice-triplicate', '--zone', 'Europe/London']
    const { at } = await run(...triplicate, `${SAMPLES}HW-1002.ndjson`)
    expect(at.output().replaceAll(/[\s│]+/g, ' ')).toContain(
      '6 used of 28 received, on 3 days; too few for the rule',
    )
  })

  it('gives the summary as JSON', async () => {
    const { at } = await run(...week, '--json', `${SAMPLES}HW-1002.ndjson`)
    const { average, refused } = JSON.parse(at.output())
    expect(refused).toEqual([])
    expect(average.readings).toEqual({ used: 24, received: 28 })
    expect(average.mean.systolicMmHg).toBe(132.8)
  })

  it('counts one of a thing as one', async () => {
    const path = join(folder, 'one.json')
    writeFileSync(
      path,
      JSON.stringify(rawRecord({ readings: (rawRecord().readings as unknown[]).slice(0, 1) })),
    )
    const { at } = await run('average', '--protocol', 'aha-2019-home', '--zone', 'Europe/London', path)
    const words = at.output().replaceAll(/\s+/g, ' ')
    expect(words).toMatch(/1 reading /)
    expect(words).toContain('1 used of 1 received, on 1 day; too few for the rule ')
    expect(words).not.toMatch(/\b1 (readings|days)/)
    const { at: converted } = await run('convert', '--source', 'harbour-app', path)
    expect(converted.remarks()).toContain('1 of 1 record converted')
  })

  it('refuses the record of another person as such', async () => {
    const path = join(folder, 'two.json')
    const records = [rawRecord({ id: 'a' }), rawRecord({ id: 'b', subject: 'HW-other' })]
    writeFileSync(path, JSON.stringify(records))
    const { code, at } = await run(...week, path)
    expect(code).toBe(1)
    expect(at.remarks()).toContain('[OTHER_SUBJECT]')
  })

  it('checks the cuff against the arm it is told', async () => {
    const [told, untold] = await Promise.all([
      run(...week, '--json', '--arm-cm', '36', `${SAMPLES}HW-1004.ndjson`),
      run(...week, '--json', `${SAMPLES}HW-1004.ndjson`),
    ])
    const flagged = ({ at }: { at: RecordedTerminal }) =>
      JSON.parse(at.output()).average.sensitivity.flaggedReadings
    expect(flagged(told)).toBeGreaterThan(flagged(untold))
  })

  it('counts a record that was sent twice once', async () => {
    const text = readFileSync(`${SAMPLES}HW-1002.ndjson`, 'utf8')
    const { at } = await run(...week, '--json', file('twice.ndjson', `${text}\n${text}`))
    expect(JSON.parse(at.output()).average.readings.received).toBe(28)
  })

  it('refuses the records of a second person', async () => {
    const { code, at } = await run(...week, '--json', `${SAMPLES}HW-1002.ndjson`, `${SAMPLES}HW-1004.ndjson`)
    expect(code).toBe(1)
    expect(JSON.parse(at.output()).refused).toHaveLength(14)
  })

  it.each([
    ['an unknown protocol', ['--protocol', 'none-such', '--zone', 'Europe/London']],
    ['no zone', ['--protocol', 'nice-ng136-home']],
    ['an abbreviation for a zone', ['--protocol', 'nice-ng136-home', '--zone', 'CET+1']],
    [
      'a day that does not exist',
      ['--protocol', 'nice-ng136-home', '--zone', 'Europe/London', '--first-day', '2026-02-30'],
    ],
  ])('ends with 2 for %s', async (_, options) => {
    expect((await run('average', ...options, `${SAMPLES}HW-1002.ndjson`)).code).toBe(2)
  })

  it.each(['average', 'compare'])('ends with 2 for days that cannot be meant: %s', async (command) => {
    const words = [
      command,
      ...(command === 'average' ? ['--protocol', 'nice-ng136-home'] : []),
      '--zone',
      'UTC',
    ]
    for (const firstDay of ['1800-01-01', '2199-01-01']) {
      const { code, at } = await run(...words, '--first-day', firstDay, `${SAMPLES}HW-1002.ndjson`)
      expect([code, at.remarks()]).toEqual([
        2,
        expect.stringContaining('--first-day: expected a day from 1990'),
      ])
    }
  })
})

describe('average, by a clinic’s own choices', () => {
  it('leaves readings out for a finding that the clinic excludes, and says whose choice that was', async () => {
    const week = ['average', '--protocol', 'nice-ng136-home', '--zone', 'Europe/London', '--arm-cm', '36']
    const [kept, excluded] = await Promise.all([
      run(...week, '--json', `${SAMPLES}HW-1004.ndjson`),
      run(...week, '--finding', 'cuff-too-small=exclude', '--json', `${SAMPLES}HW-1004.ndjson`),
    ])
    const average = ({ at }: { at: RecordedTerminal }) => JSON.parse(at.output()).average
    expect(average(kept).excludedByPolicy).toEqual([])
    const [choice] = average(excluded).excludedByPolicy
    expect(choice.finding).toBe('cuff-too-small')
    expect(choice.readings).toBeGreaterThan(0)
    const { used, received } = average(excluded).readings
    expect(used + average(excluded).leftOut.length).toBe(received)
  })

  it.each(['nonsense=exclude', 'cuff-too-small=drop', 'very-high=exclude', 'cuff-too-small'])(
    'ends with 2 for the choice %s',
    async (choice) => {
      const words = ['average', '--protocol', 'nice-ng136-home', '--zone', 'UTC', '--finding', choice]
      expect((await run(...words, `${SAMPLES}HW-1004.ndjson`)).code).toBe(2)
    },
  )

  it('averages a 24-hour recording under a recording rule', async () => {
    const recording = rawRecord({
      setting: 'ambulatory',
      takenAt: '2026-03-02T09:00:00+00:00',
      readings: [
        { takenAt: '2026-03-02T09:00:00+00:00', systolic: 140, diastolic: 90 },
        { takenAt: '2026-03-02T15:00:00+00:00', systolic: 130, diastolic: 80 },
        { takenAt: '2026-03-03T02:00:00+00:00', systolic: 120, diastolic: 70 },
      ],
    })
    const path = file('recording.json', JSON.stringify(recording))
    const rule = ['average', '--protocol', 'chep-2017-recording', '--zone', 'UTC']
    const { code, at } = await run(...rule, '--json', path)
    expect(code).toBe(0)
    const { means, validity } = JSON.parse(at.output()).average
    expect(means.map(({ span, systolicMmHg }: never) => [span, systolicMmHg])).toEqual([
      ['24-hours', 130],
      ['day', 135],
      ['night', 120],
    ])
    expect(validity.verdict).toBe('not-valid')
    const told = await run(...rule, path)
    expect(told.at.output()).toContain(CAUTION.slice(0, 17))
  })
})

describe('the days of files', () => {
  const at = (id: string, day: string, setting: string) =>
    JSON.stringify(
      rawRecord({
        id,
        setting,
        takenAt: `${day}T07:00:00Z`,
        readings: [{ systolic: 141, diastolic: 88 }],
      }),
    )
  // A week at home, after a day at the clinic and before one at a kiosk.
  const days = ['02', '03', '04', '05', '06', '07', '08'].map((day) => `2026-03-${day}`)
  const sittings = [
    at('at-clinic', '2026-02-25', 'clinic'),
    ...days.map((day) => at(`at-home-${day}`, day, 'home')),
    at('at-kiosk', '2026-04-25', 'public-kiosk'),
  ]
  const week = () => file('week-between.ndjson', sittings.join('\n'))

  it('are those of the readings taken at home, whatever was measured elsewhere before and after', async () => {
    const words = ['--zone', 'UTC', '--json', week()]
    const averaged = await run('average', '--protocol', 'cmaj-2021-home', ...words)
    const { average } = JSON.parse(averaged.at.output())
    expect([average.period.firstDay, average.period.lastDay]).toEqual(['2026-03-02', '2026-03-08'])
    expect(average.readings).toEqual({ used: 7, received: 9 })
    const { comparison } = JSON.parse((await run('compare', ...words)).at.output())
    expect([comparison.period.firstDay, comparison.period.lastDay]).toEqual(['2026-03-02', '2026-03-08'])
  })

  it('are those of the recording under a recording rule', async () => {
    const both = file(
      'and-a-recording.json',
      `[${at('before', '2026-02-20', 'home')},${JSON.stringify(rawRecording())}]`,
    )
    const words = ['--protocol', 'chep-2017-recording', '--zone', 'UTC', '--json', both]
    const { average } = JSON.parse((await run('average', ...words)).at.output())
    expect([average.period.firstDay, average.readings.received]).toEqual(['2026-03-02', 3])
  })

  it('are those of all readings where none was taken at home', async () => {
    const only = file('at-clinic.json', at('at-clinic', '2026-02-25', 'clinic'))
    const words = ['--protocol', 'cmaj-2021-home', '--zone', 'UTC', '--json', only]
    const { average } = JSON.parse((await run('average', ...words)).at.output())
    expect([average.period.firstDay, average.readings]).toEqual(['2026-02-25', { used: 0, received: 1 }])
  })
})

describe('compare', () => {
  const week = ['compare', '--zone', 'Europe/London']

  it('shows one person’s readings under every protocol and where the rule moves the label', async () => {
    const { code, at } = await run(...week, '--json', `${SAMPLES}HW-1002.ndjson`)
    expect(code).toBe(0)
    const { comparison } = JSON.parse(at.output())
    const row = (id: string) => comparison.rows.find(({ protocol }: never) => protocol === id)
    expect([row('nice-ng136-home').used, row('nice-ng136-home').mean.systolicMmHg]).toEqual([24, 132.8])
    expect([row('aha-2019-home').used, row('aha-2019-home').mean.systolicMmHg]).toEqual([28, 135.8])
    expect(row('esc-2024-home').evidence).toBe('memory')
    const byNice = comparison.bySet.find(({ thresholdSet }: never) => thresholdSet === 'nice-ng136-home')
    expect(byNice.moves).toBe(true)
  })

  it('says so in words, marks what is from memory, and ends with the caution', async () => {
    const { at } = await run(...week, `${SAMPLES}HW-1002.ndjson`)
    const words = at.output().replaceAll(/[\s│]+/g, ' ')
    expect(words).toContain('the rule and not the patient moves the label')
    expect(words).toContain('from memory, unverified')
    expect(words).toContain(CAUTION)
  })

  // 17.998 kPa is 134.997 mmHg: printed as 135.0, and below 135.
  it('says that labels go by the unrounded mean, which may lie on the other side of a bound', async () => {
    const readings = [{ systolic: 17.998, diastolic: 10.6 }]
    const sitting = file('just-below.json', JSON.stringify(rawRecord({ unit: 'kPa', readings })))
    const words = (await run(...week, sitting)).at.output().replaceAll(/[\s│]+/g, ' ')
    expect(words).toMatch(/cmaj-2021-home 135\.0\/79\.5 1 of 1 below 135\/85/)
    expect(words).toContain('label by its own source, of the unrounded mean')
  })

  it('says of a rule that averages nothing no word about the labels of its source', async () => {
    const sitting = file('one-sitting.json', JSON.stringify(rawRecord()))
    const lines = stripVTControlCharacters((await run(...week, sitting)).at.output()).split('\n')
    const rowOf = (id: string) => lines.find((line) => line.includes(` ${id} `))
    // The first day of measuring is the only one, and this rule leaves it out.
    expect(rowOf('nice-ng136-home')).toMatch(/│ none\s+│ 0 of 2\s+│\s+│$/)
    expect(rowOf('ksh-2018-home')).toMatch(/│ 141\.0\/88\.0 │ 2 of 2\s+│ at or above 135\/85/)
  })

  it('fits a terminal of 80 columns', async () => {
    const at = recordedTerminal(80)
    await runCommandLine([...week, `${SAMPLES}HW-1002.ndjson`], at, openGateway, '0.0.0')
    const longest = Math.max(
      ...stripVTControlCharacters(at.output())
        .split('\n')
        .map((line) => line.length),
    )
    expect(longest).toBeLessThanOrEqual(80)
  })

  it('ends with 2 without a zone and with 1 without a session', async () => {
    expect((await run('compare', `${SAMPLES}HW-1002.ndjson`)).code).toBe(2)
    expect((await run(...week, file('nothing.json', '{}'))).code).toBe(1)
  })
})

describe('validate', () => {
  it('says valid of what convert writes, and not valid with the place of the fault', async () => {
    const converted = await run('convert', '--source', 'harbour-app', '--ndjson', `${SAMPLES}HW-1001.ndjson`)
    const [line = ''] = converted.at.output().split('\n')
    const right = await run('validate', file('right.json', line))
    expect(right.code).toBe(0)

    const { status: _, ...without } = JSON.parse(line)
    const wrong = await run('validate', '--json', file('wrong.json', JSON.stringify(without)))
    expect(wrong.code).toBe(1)
    expect(JSON.parse(wrong.at.output()).issue).toContainEqual(
      expect.objectContaining({ severity: 'error', expression: ['Observation.status'] }),
    )
  })
})

describe('sources', () => {
  it('registers a source and shows its key once', async () => {
    const settings = file('gateway.json', JSON.stringify({ store: { file: join(folder, 'gateway.db') } }))
    expect((await run('sources', 'add', 'harbour-app', '--settings', settings)).code).toBe(0)
    const { code, at } = await run('sources', 'key', 'harbour-app', '--json', '--settings', settings)
    expect(code).toBe(0)
    const { key } = JSON.parse(at.output())
    expect(key).toMatch(/^hbp_[\w-]{43}$/)
    expect(readFileSync(join(folder, 'gateway.db')).includes(key)).toBe(false)
  })

  it('makes no key for a source that is not registered', async () => {
    const settings = file('other.json', JSON.stringify({ store: { file: join(folder, 'other.db') } }))
    const { code, at } = await run('sources', 'key', 'nobody', '--settings', settings)
    expect(code).toBe(1)
    expect(at.remarks()).toContain('UNKNOWN_SOURCE')
  })

  it('makes no key that is for all sources where one was named', async () => {
    const settings = file('wide.json', JSON.stringify({ store: { file: join(folder, 'wide.db') } }))
    await run('sources', 'add', 'harbour-app', '--settings', settings)
    for (const role of ['read', 'operate', 'audit']) {
      const { code, at } = await run('sources', 'key', 'harbour-app', '--role', role, '--settings', settings)
      expect([code, at.output()]).toEqual([2, ''])
      expect(at.remarks()).toContain(`A key of the role ${role} is for all sources`)
    }
    const { at } = await run('sources', 'keys', '--json', '--settings', settings)
    expect(JSON.parse(at.output())).toEqual({ items: [] })
  })

  it('lists keys by their ids and revokes one', async () => {
    const settings = file('keys.json', JSON.stringify({ store: { file: join(folder, 'keys.db') } }))
    const words = ['sources', 'key', '--role', 'read', '--label', 'dashboard', '--json']
    const { key, id } = JSON.parse((await run(...words, '--settings', settings)).at.output())
    const list = async () => (await run('sources', 'keys', '--settings', settings)).at.output()
    expect(await list()).toMatch(new RegExp(`${id}.*read.*dashboard`))
    expect(await list()).not.toContain(key)
    const unknown = await run('sources', 'revoke-key', '000000000000', '--settings', settings)
    expect(unknown.code).toBe(1)
    const revoked = await run('sources', 'revoke-key', id, '--json', '--settings', settings)
    expect(JSON.parse(revoked.at.output())).toMatchObject({
      id,
      label: 'dashboard',
      revokedAt: expect.any(String),
    })
    expect(await list()).toContain(JSON.parse(revoked.at.output()).revokedAt)
  })
})

describe('serve', () => {
  it('refuses to listen beyond this machine while access is off, and says why', async () => {
    const settings = file('open.json', JSON.stringify({ listen: { host: '0.0.0.0', port: 0 } }))
    const { code, at } = await run('serve', '--settings', settings)
    expect(code).toBe(3)
    expect(at.remarks()).toContain('access')
    expect(at.remarks()).toContain('SETTINGS_REFUSED')
  })

  it('refuses settings with an unknown key, naming it', async () => {
    const { code, at } = await run('serve', '--settings', file('typo.json', JSON.stringify({ lisen: {} })))
    expect(code).toBe(3)
    expect(at.remarks()).toContain('lisen')
  })
})

describe('demo', () => {
  it('keeps no store of its own for a clinic that forgets', async () => {
    expect((await run('demo', '--data', folder)).code).toBe(2)
  })

  it('runs the whole job, and its second round changes nothing at the clinic', async () => {
    const { code, at } = await run('demo', '--json')
    expect(code).toBe(0)
    const steps = at
      .output()
      .split('\n')
      .map((line) => JSON.parse(line))
    const counts = steps.filter(({ step }) => step === 'counted').map(({ clinic }) => clinic)
    expect(counts).toHaveLength(2)
    expect(counts[1]).toEqual(counts[0])
    expect(steps.at(-1).averages).toHaveLength(6)
    expect(steps.find(({ step, round }) => step === 'scheduled' && round === 2)).toMatchObject({
      closed: 0,
      settled: 0,
    })
  })
})
