import { describe, expect, it } from 'vitest'
import {
  anExamined,
  anIssue,
  aRecomputed,
  BUNDLE,
  hostileExaminations,
  REPORT_CONTEXT,
} from '../../../tests/support/examined-resources.ts'
import { recomputeIssues } from '../recompute/recompute-averages.ts'
import { auditReport } from './audit-tally.ts'
import type { ExaminedResource } from './examined-resource.ts'

function reportOn(...examined: readonly ExaminedResource[]) {
  return auditReport(examined, REPORT_CONTEXT)
}

const warning = anIssue({
  severity: 'warning',
  code: 'CODE',
  rule: 'ucum',
  at: 'Bundle.entry[0].resource.code',
})

describe('the account of an audit', () => {
  it('says what made it, when, and of what, as it was told', () => {
    const { made, read, profiles } = auditReport([anExamined()], {
      ...REPORT_CONTEXT,
      asked: ['http://example.org/StructureDefinition/ours'],
      skipped: 2,
      empty: ['week/none.json'],
    })
    expect(made).toEqual({ by: 'home-bp-gateway', version: '0.0.0', at: '2026-03-12T08:00:00Z' })
    expect(read).toEqual({
      paths: ['week'],
      files: 1,
      skipped: 2,
      empty: ['week/none.json'],
      handedOver: 1,
      unreadable: 0,
      cutShort: 0,
    })
    expect(profiles).toEqual({ asked: ['http://example.org/StructureDefinition/ours'], known: 3 })
  })

  it('gives what was handed over the worst verdict of all that is in it', () => {
    const { verdicts } = reportOn(
      anExamined(),
      anExamined({ issues: [warning] }),
      anExamined({ issues: [warning, anIssue()] }),
      anExamined({ issues: [anIssue({ severity: 'information' })] }),
      anExamined({ issues: [anIssue({ severity: 'fatal' })] }),
    )
    expect(verdicts).toEqual({ valid: 1, validWithRemarks: 2, invalid: 2 })
  })

  it('gives each resource in a bundle the verdict of its own issues', () => {
    const { types } = reportOn(
      anExamined({
        issues: [
          warning,
          anIssue({ at: 'Bundle.entry[1].resource.component[0].value' }),
          anIssue({ at: 'Bundle.entry[2].resource.entry[0].resource.name' }),
        ],
      }),
    )
    expect(types).toEqual([
      { type: 'Bundle', resources: 2, valid: 2, validWithRemarks: 0, invalid: 0, notTold: 0 },
      { type: 'Observation', resources: 2, valid: 0, validWithRemarks: 1, invalid: 1, notTold: 0 },
      { type: 'Patient', resources: 1, valid: 0, validWithRemarks: 0, invalid: 1, notTold: 0 },
    ])
  })

  it.each([
    ['Bundle.type', 'Bundle'],
    ['Bundle.entry[0].fullUrl', 'Bundle'],
    ['Bundle.entry[9].resource.status', 'Bundle'],
    ['Bundle.entry[0].resourceful', 'Bundle'],
    ['', 'Bundle'],
    ['Bundle.entry[0].resource', 'Observation'],
    ['Bundle.entry[2].resource.entry[0].resource', 'Patient'],
  ])('lays an issue at %j to the innermost resource there is, of type %s', (at, type) => {
    const { types } = reportOn(anExamined({ issues: [anIssue({ at })] }))
    expect(types.filter(({ invalid }) => invalid > 0).map((one) => one.type)).toEqual([type])
  })

  it('names no type that is none: a resourceType could hold anything', () => {
    const { types } = reportOn(
      anExamined({ resource: { resourceType: 'Secret-Name' } }),
      anExamined({ resource: 7 }),
    )
    expect(types.map(({ type, resources }) => [type, resources])).toEqual([['other', 2]])
  })

  it('counts what cannot be read as invalid, and as no resource of any type', () => {
    const report = reportOn({
      place: { file: 'a.ndjson', line: 3 },
      issues: [anIssue({ code: 'NOT_JSON' })],
      recomputed: [],
    })
    expect(report.verdicts.invalid).toBe(1)
    expect(report.read.unreadable).toBe(1)
    expect(report.types).toEqual([])
  })

  it('says when a resource had more issues than are listed', () => {
    const more = anIssue({ severity: 'information', type: 'informational', code: 'TOO_MANY' })
    expect(reportOn(anExamined({ issues: [anIssue(), more] })).read.cutShort).toBe(1)
  })

  it('calls nothing valid in a bundle whose errors are not all listed', () => {
    const more = anIssue({ severity: 'information', type: 'informational', code: 'TOO_MANY', at: 'Bundle' })
    const issues = [...Array.from({ length: 1000 }, () => anIssue()), more]
    const { types } = reportOn(anExamined({ issues }))
    expect(types.map(({ type, valid, invalid, notTold }) => [type, valid, invalid, notTold])).toEqual([
      ['Bundle', 0, 0, 2],
      ['Observation', 0, 1, 1],
      ['Patient', 0, 0, 1],
    ])
  })
})

describe('the verdicts by rule', () => {
  it('counts each rule by how often it was broken, in how many resources and where first', () => {
    const { rules } = reportOn(
      anExamined({
        place: { file: 'a.ndjson', line: 4 },
        issues: [
          warning,
          anIssue(),
          anIssue({ at: 'Bundle.entry[0].resource.code' }),
          anIssue({ at: 'Bundle.entry[1].resource.status' }),
        ],
      }),
      anExamined({ issues: [anIssue()] }),
    )
    expect(
      rules.map(({ rule, severity, times, inResources }) => [rule, severity, times, inResources]),
    ).toEqual([
      ['Observation.status', 'error', 4, 3],
      ['ucum', 'warning', 1, 1],
    ])
    expect(rules[0]?.meaning).toBe('The resource breaks the R4 structure.')
    expect(rules[0]?.expectations).toEqual([
      {
        expected: 'a status',
        remedy: 'Add it.',
        times: 4,
        places: [
          { file: 'a.ndjson', line: 4, at: 'Bundle.entry[0].resource.status' },
          { file: 'a.ndjson', line: 4, at: 'Bundle.entry[0].resource.code' },
          { file: 'a.ndjson', line: 4, at: 'Bundle.entry[1].resource.status' },
          { file: 'week/bundle.json', at: 'Bundle.entry[0].resource.status' },
        ],
      },
    ])
  })

  it('keeps the same rule apart by severity, what blocks first', () => {
    const { rules } = reportOn(anExamined({ issues: [anIssue({ severity: 'warning' }), anIssue()] }))
    expect(rules.map(({ severity }) => severity)).toEqual(['error', 'warning'])
  })

  it('lists five places and fifty expectations of a rule, and counts the rest', () => {
    const issues = Array.from({ length: 600 }, (_, at) =>
      anIssue({ expected: `one of ${at % 60}`, at: `Bundle.entry[0].resource.component[${at}]` }),
    )
    const [rule] = reportOn(anExamined({ issues })).rules
    expect(rule?.times).toBe(600)
    expect(rule?.expectations).toHaveLength(50)
    expect(rule?.expectations.every(({ times, places }) => times === 10 && places.length === 5)).toBe(true)
  })

  it('names what could not be judged, and leaves out what was judged and refused', () => {
    const { notEnforced } = reportOn(
      anExamined({
        issues: [
          anIssue({
            type: 'not-supported',
            severity: 'information',
            code: 'PROFILE',
            rule: 'ours-1',
            expected: 'x',
          }),
          anIssue({
            type: 'not-supported',
            severity: 'fatal',
            code: 'NOT_SUPPORTED',
            expected: 'a known type',
          }),
        ],
      }),
    )
    expect(notEnforced).toEqual([{ rule: 'ours-1', code: 'PROFILE', what: 'x', remedy: 'Add it.', times: 1 }])
  })
})

describe('the averages worked out again', () => {
  const difference = {
    what: 'mean systolic',
    at: 'Bundle.entry[1].resource.component[0].value.value',
    expected: '134.1 mmHg',
    found: '133 mmHg',
  }

  it('lists each that differs, with both figures, and counts the others by protocol or reason', () => {
    const { averages, sources } = reportOn(
      anExamined({
        place: { file: 'a.json' },
        recomputed: [
          aRecomputed(),
          aRecomputed({ readings: 28 }),
          aRecomputed({ verdict: 'differs', differences: [difference], sources: ['Another source'] }),
          aRecomputed({ verdict: 'not-recomputable', reason: 'It names no protocol.', sources: [] }),
          aRecomputed({
            verdict: 'not-recomputable',
            reason: 'It was taken back.',
            takenBack: true,
            sources: [],
          }),
        ],
      }),
    )
    expect(averages).toMatchObject({ agree: 2, differ: 1, notRecomputable: 2, takenBack: 1 })
    expect(averages.agreeing).toMatchObject([{ protocol: 'nice-ng136-home', times: 2, readings: 52 }])
    expect(averages.differing).toEqual([
      {
        place: { file: 'a.json', at: 'Bundle.entry[1].resource' },
        protocol: 'nice-ng136-home',
        readings: 24,
        differences: [difference],
      },
    ])
    expect(averages.reasons).toMatchObject([
      { reason: 'It names no protocol.', times: 1 },
      { reason: 'It was taken back.', times: 1 },
    ])
    expect(sources.averages).toEqual(['Another source', 'NICE guideline NG136, 1.4.22'])
  })

  it('counts what had to be taken for granted', () => {
    const assumed = ['The days are those of UTC.']
    const { averages } = reportOn(
      anExamined({ recomputed: [aRecomputed({ assumed }), aRecomputed({ assumed })] }),
    )
    expect(averages.assumed).toEqual([{ assumed: 'The days are those of UTC.', averages: 2 }])
  })

  it('lists the first five hundred that differ, and counts the rest', () => {
    const recomputed = Array.from({ length: 510 }, () =>
      aRecomputed({ verdict: 'differs', differences: [difference] }),
    )
    const { averages } = reportOn(anExamined({ recomputed }))
    expect([averages.differ, averages.differing.length]).toEqual([510, 500])
  })
})

describe('what a report may hold', () => {
  it('holds nothing of what resources say', () => {
    expect(JSON.stringify(BUNDLE)).toContain('Secret-Name')
    const text = JSON.stringify(reportOn(...hostileExaminations()))
    expect(text).not.toMatch(/secret/i)
  })

  it('has measured figures under averages only, not in what the rules say', () => {
    const recomputed = [
      aRecomputed({
        verdict: 'differs',
        differences: [
          { what: 'mean systolic', at: 'Observation.value', expected: '134.1 mmHg', found: '133 mmHg' },
        ],
        assumed: ['Days are those of 134.1.'],
      }),
      aRecomputed({ verdict: 'not-recomputable', reason: 'It lacks 134.1.' }),
    ]
    const issues = recomputeIssues(recomputed)
    expect(issues.length).toBeGreaterThan(2)
    const { averages, ...rest } = reportOn(anExamined({ issues, recomputed }))
    expect(JSON.stringify(averages)).toContain('134.1')
    expect(JSON.stringify(rest)).not.toMatch(/134\.1|133/)
    expect(rest.rules.map(({ severity, times }) => [severity, times])).toEqual([
      ['warning', 1],
      ['information', 2],
    ])
  })

  it('says so at its top, and carries the cautions', () => {
    const { notice, cautions } = reportOn()
    expect(notice).toContain('No name, identifier')
    expect(cautions.join(' ')).toContain('Local practice and licensed clinicians decide')
  })

  it('comes out the same for the same resources, and survives JSON', () => {
    const [first, second] = [1, 2].map(() => auditReport(hostileExaminations(), REPORT_CONTEXT))
    expect(JSON.parse(JSON.stringify(first))).toEqual(second)
  })
})
