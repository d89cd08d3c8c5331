import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { describe, expect, it } from 'vitest'
import { root } from '../house/source-files.ts'
import { readDiary } from '../support/read-diary.ts'
import { shippedMapping } from '../support/shipped-mapping.ts'

const ZONE = 'Europe/Paris'
const DIARIES = ['diary-one-row-per-reading', 'diary-three-pairs-of-columns'] as const

function sample(name: string): Buffer {
  return readFileSync(join(root, 'samples/mapped', `${name}.csv`))
}

describe('the diaries that ship as samples', () => {
  it('with one row for each reading gives a sitting for each morning', async () => {
    const [name] = DIARIES
    const diary = await readDiary(sample(name), shippedMapping(name), ZONE)
    if ('file' in diary) throw new Error(JSON.stringify(diary.file))
    expect(diary.refused).toEqual([])
    expect(diary.sessions.map(({ session }) => session.readings.length)).toEqual([3, 3, 3, 3, 3, 3, 3])
    expect(diary.sessions[0]?.session).toMatchObject({
      subject: 'HW-1003',
      takenAt: { text: '2026-03-02T06:43:00+01:00' },
      arm: 'left',
      entry: 'typed',
      readings: [
        { takenAt: { text: '2026-03-02T06:43:00+01:00' }, systolic: { value: 18.8, unit: 'kPa' }, pulse: 71 },
        { takenAt: { text: '2026-03-02T06:45:00+01:00' }, systolic: { value: 18.3, unit: 'kPa' }, pulse: 64 },
        { takenAt: { text: '2026-03-02T06:47:00+01:00' }, systolic: { value: 17.6, unit: 'kPa' }, pulse: 66 },
      ],
    })
    const withoutPulse = diary.sessions.flatMap(({ session }) =>
      session.readings.filter(({ pulse }) => pulse === undefined),
    )
    expect(withoutPulse).toMatchObject([{ ordinal: 2, systolic: { value: 16.9, unit: 'kPa' } }])
  })

  it('with three readings a row leaves out the ones nobody filled in, and keeps the notes', async () => {
    const [, name] = DIARIES
    const diary = await readDiary(sample(name), shippedMapping(name), ZONE)
    if ('file' in diary) throw new Error(JSON.stringify(diary.file))
    expect(diary.refused).toEqual([])
    expect(diary.sessions.map(({ session }) => session.readings.length)).toEqual([3, 3, 2, 3, 3, 3, 3])
    expect(diary.sessions.flatMap(({ session }) => session.note ?? [])).toEqual([
      'slept badly, up twice',
      'said "rest first" to myself',
    ])
    expect(diary.sessions[2]?.session).toMatchObject({
      takenAt: { text: '2026-03-11T06:31:00+01:00' },
      readings: [{ systolic: { value: 17.5, unit: 'kPa' } }, { systolic: { value: 17.9, unit: 'kPa' } }],
    })
  })

  it('give the same on a machine in any zone and language', () => {
    const machines = [
      { TZ: 'UTC', LC_ALL: 'C' },
      { TZ: 'Pacific/Apia', LC_ALL: 'de_DE.UTF-8' },
      { TZ: 'America/Denver', LC_ALL: 'ar_EG.UTF-8', LANG: 'ar_EG.UTF-8' },
    ]
    const printed = machines.map(printedOn)
    expect(JSON.parse(printed[0]?.diaries ?? '')).toMatchObject([
      { sessions: { length: 7 }, refused: [] },
      { sessions: { length: 7 }, refused: [] },
    ])
    expect(printed.map(({ diaries }) => diaries)).toEqual(machines.map(() => printed[0]?.diaries))
    expect(new Set(printed.map(({ clock }) => clock)).size).toBe(machines.length)
  })
})

/** What a process of its own makes of both diaries, and what its clock shows. */
function printedOn(machine: Readonly<Record<string, string>>): {
  readonly diaries: string
  readonly clock: string
} {
  const support = (file: string) => JSON.stringify(pathToFileURL(join(root, 'tests/support', file)).href)
  const program = `
    import { readFileSync } from 'node:fs'
    const { readDiary } = await import(${support('read-diary.ts')})
    const { shippedMapping } = await import(${support('shipped-mapping.ts')})
    const diaries = []
    for (const name of ${JSON.stringify(DIARIES)}) {
      const bytes = readFileSync(${JSON.stringify(join(root, 'samples/mapped'))} + '/' + name + '.csv')
      diaries.push(await readDiary(bytes, shippedMapping(name), ${JSON.stringify(ZONE)}))
    }
    const clock = new Date(0).toString()
    process.stdout.write(JSON.stringify({ diaries: JSON.stringify(diaries), clock }))
  `
  const { stdout, stderr } = spawnSync(
    process.execPath,
    ['--import', 'tsx', '--input-type=module', '--eval', program],
    { cwd: root, encoding: 'utf8', env: { PATH: process.env.PATH, ...machine } },
  )
  if (stdout === '') throw new Error(stderr)
  return JSON.parse(stdout)
}
