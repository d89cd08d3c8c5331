/** The invented people are what `samples/people.json` says of them, and their files are what the generator writes. */
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { generateSessions } from '../../samples/generator/generate-sessions.ts'
import { type Person, samplePeople } from '../../samples/generator/people.ts'
import { sampleBundles } from '../../samples/generator/sample-bundles.ts'
import { sampleFile } from '../../samples/generator/sample-sessions.ts'
import { reachesMmHg, roundedMmHg } from '../../src/core/basics/exact-mean.ts'
import { blocks } from '../../src/core/basics/issue.ts'
import { addDays, isTimeZone } from '../../src/core/basics/local-day.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../../src/core/clinical/attention/attention-limits.ts'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import type { PeriodAverage } from '../../src/core/clinical/averaging/period-average.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import { readProtocol } from '../../src/core/clinical/protocol/read-protocol.ts'
import { readSession } from '../../src/core/record/read-session.ts'
import { checkSession } from '../../src/flow/check/check-session.ts'
import { examineResource } from '../../src/flow/prove/examine-resource.ts'
import { shippedRules } from '../support/recompute-rules.ts'

const root = new URL('../../', import.meta.url)
const text = (path: string) => readFileSync(new URL(path, root), 'utf8')
const people = samplePeople()
const receivedMs = Date.parse('2026-04-01T00:00:00Z')

function person(subject: string): Person {
  const found = people.find((one) => one.subject === subject)
  if (found === undefined) throw new Error(`no sample person ${subject}`)
  return found
}

const records = (subject: string): unknown[] =>
  text(`samples/sessions/${subject}.ndjson`)
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line))

function checked(subject: string) {
  return records(subject).map((record) => {
    const read = readSession(record, {})
    if (!read.ok) throw new Error(read.issues.map(({ at }) => at).join(', '))
    const { session } = read.value
    return { session, findings: checkSession(session, person(subject), receivedMs, DEFAULT_ATTENTION_LIMITS) }
  })
}

function protocolOf({ protocol }: Person): Protocol {
  const read = readProtocol(JSON.parse(text(`profiles/protocols/${protocol}.json`)))
  if (!read.ok) throw new Error(`${protocol} is refused`)
  return read.value
}

function average(subject: string, change: Partial<Protocol> = {}): PeriodAverage {
  const { zone, firstDay, days, arm, ...rest } = person(subject)
  const protocol = { ...protocolOf({ zone, firstDay, days, ...rest }), ...change }
  const plan = { protocol, zone, firstDay, lastDay: addDays(firstDay, days - 1) }
  return averagePeriod(arm === undefined ? plan : { ...plan, arm }, checked(subject), [])
}

const findingCodes = (subject: string) => [
  ...new Set(checked(subject).flatMap(({ findings }) => findings.map(({ code }) => code))),
]

function reaches135({ mean }: Pick<PeriodAverage, 'mean'>): boolean {
  if (mean === undefined) throw new Error('no mean')
  return reachesMmHg(mean.systolic, 135) || reachesMmHg(mean.diastolic, 85)
}

describe.each(people)('the file of $subject', (one) => {
  it('is what the generator writes, byte for byte', () => {
    expect(text(`samples/sessions/${one.subject}.ndjson`)).toBe(sampleFile(one))
  })

  it('holds valid records of that person, in time order, each with its own id', () => {
    const sessions = checked(one.subject).map(({ session }) => session)
    const times = sessions.map(({ takenAt }) => takenAt.epochMs)
    expect(new Set(sessions.map(({ subject }) => subject))).toEqual(new Set([one.subject]))
    expect(new Set(sessions.map(({ id }) => id)).size).toBe(sessions.length)
    expect(times).toEqual([...times].sort((a, b) => a - b))
  })

  it('belongs to an enrolment that can be made', () => {
    expect(isTimeZone(one.zone)).toBe(true)
    expect(one.days).toBe(protocolOf(one).days.ideal)
  })

  it('is enough for its protocol', () => {
    const { sufficiency } = average(one.subject)
    expect([sufficiency.enoughDays, sufficiency.enoughReadings]).toEqual([true, true])
  })
})

describe('the invented people', () => {
  it('are six, each a different patient of one clinic', () => {
    expect(people).toHaveLength(6)
    expect(new Set(people.map(({ patient }) => `${patient.system}|${patient.value}`)).size).toBe(6)
    expect(new Set(people.map(({ patient }) => patient.system)).size).toBe(1)
  })

  it('HW-1001 measures cleanly: all 42 readings count and nothing is remarked', () => {
    const { used, leftOut } = average('HW-1001')
    expect([used.length, leftOut.length]).toEqual([42, 0])
    expect(findingCodes('HW-1001')).toEqual([])
  })

  it('HW-1002 changes category when the first day is left out', () => {
    const { leaveOut } = protocolOf(person('HW-1002'))
    const withFirstDay = average('HW-1002', { leaveOut: { ...leaveOut, firstDays: 0 } })
    expect(reaches135(withFirstDay)).toBe(true)
    expect(reaches135(average('HW-1002'))).toBe(false)
    expect(average('HW-1002').leftOut.map(({ reason }) => reason)).toEqual(Array(4).fill('first-day'))
  })

  it('HW-1003 is in kPa, typed, and loses two exceedingly high first readings', () => {
    const sessions = checked('HW-1003').map(({ session }) => session)
    const units = sessions.flatMap(({ readings }) => readings.map(({ systolic }) => systolic?.unit))
    expect(new Set(units)).toEqual(new Set(['kPa']))
    expect(new Set(sessions.map(({ entry }) => entry))).toEqual(new Set(['typed']))
    const { leftOut, mean } = average('HW-1003')
    expect(leftOut.map(({ reason, placed }) => [reason, placed.day])).toEqual([
      ['first-reading', '2026-03-05'],
      ['first-reading', '2026-03-12'],
    ])
    expect(mean === undefined ? 0 : roundedMmHg(mean.systolic, 0)).toBeGreaterThan(120)
  })

  it('HW-1004 shows four errors of technique, which carry the mean over 135, and took the medicine before', () => {
    expect(findingCodes('HW-1004').sort()).toEqual([
      'after-medication',
      'bladder-full',
      'cuff-below-heart',
      'cuff-too-small',
      'talking',
    ])
    const { sensitivity, ...all } = average('HW-1004')
    expect(reaches135(all)).toBe(true)
    expect(reaches135(sensitivity)).toBe(false)
    expect(sensitivity.mean?.readings).toBeGreaterThanOrEqual(8)
  })

  it('HW-1005 measures both arms, more than 20 mmHg apart, and only the right is averaged', () => {
    const { interArm, used, leftOut } = average('HW-1005')
    expect(interArm?.higherArm).toBe('right')
    expect(interArm?.limits.filter(({ limitMmHg }) => limitMmHg === 20).map(({ above }) => above)).toEqual([
      true,
      true,
      true,
    ])
    expect(new Set(used.map(({ session }) => session.arm))).toEqual(new Set(['right']))
    expect(leftOut.filter(({ reason }) => reason === 'other-arm')).toHaveLength(6)
  })

  it('HW-1006 keeps the person’s own days across the clock change', () => {
    const { used } = average('HW-1006')
    const jump = used.filter(({ day }) => day === '2026-03-08').map(({ session }) => session.takenAt)
    const [before, after] = [...new Set(jump)]
    expect(before?.text).toMatch(/^2026-03-08T01:30:\d\d-07:00$/)
    expect(after?.text).toMatch(/^2026-03-08T03:30:\d\d-06:00$/)
    expect(Math.round(((after?.epochMs ?? 0) - (before?.epochMs ?? 0)) / 60_000)).toBe(60)
    const afternoons = used.filter(({ session }) => session.takenAt.text.includes('T17:'))
    expect(afternoons).toHaveLength(12)
    const utcDays = afternoons.map(({ session }) =>
      new Date(session.takenAt.epochMs).toISOString().slice(0, 10),
    )
    expect(afternoons.some(({ day }, index) => day !== utcDays[index])).toBe(true)
  })
})

describe('generateSessions', () => {
  it('makes as many valid sessions as asked, each with its own id, over the people asked for', () => {
    const sessions = [...generateSessions({ seed: 7, count: 3000, subjects: 40 })]
    expect(sessions.every((session) => readSession(session, {}).ok)).toBe(true)
    expect(new Set(sessions.map(({ id }) => id)).size).toBe(3000)
    expect(new Set(sessions.map(({ subject }) => subject)).size).toBe(40)
  })

  it('makes the same sessions from the same seed, and others from another', () => {
    const made = (seed: number) => JSON.stringify([...generateSessions({ seed, count: 20, subjects: 5 })])
    expect(made(1)).toBe(made(1))
    expect(made(1)).not.toBe(made(2))
  })
})

describe('the bundles to judge', () => {
  const examined = (name: string) =>
    examineResource(JSON.parse(text(`samples/bundles/${name}`)), shippedRules())

  it('are what the generator makes of a person’s week', () => {
    for (const [name, bundle] of sampleBundles())
      expect(JSON.parse(text(`samples/bundles/${name}`)), name).toEqual(JSON.parse(JSON.stringify(bundle)))
  })

  it('hold an average of the gateway’s own that follows from its readings', () => {
    const { issues, recomputed } = examined('average-of-a-week.json')
    expect(issues.filter(blocks)).toEqual([])
    expect(recomputed.map(({ verdict }) => verdict)).toEqual(['agrees'])
  })

  it('hold one that was typed wrong: the readings say so, and nothing else does', () => {
    const { issues, recomputed } = examined('average-typed-by-hand.json')
    expect(issues.filter(blocks)).toEqual([])
    expect(recomputed.flatMap(({ differences }) => differences)).toEqual([
      {
        what: 'mean systolic',
        at: 'Bundle.entry[29].resource.component[0].value',
        expected: '136 mmHg (135.7857 before rounding)',
        found: '163 mmHg',
      },
    ])
  })
})
