import type { ReportContext } from '../../src/core/audit-report/audit-tally.ts'
import type { ExaminedResource } from '../../src/core/audit-report/examined-resource.ts'
import type { Issue } from '../../src/core/basics/issue.ts'
import type { RecomputedAverage } from '../../src/core/recompute/recomputed-average.ts'

export const REPORT_CONTEXT: ReportContext = {
  version: '0.0.0',
  at: '2026-03-12T08:00:00Z',
  paths: ['week'],
  skipped: 0,
  empty: [],
  asked: [],
  knownProfiles: 3,
}

export const HOSTILE_NAME = '<img src=x onerror="alert(1)">"\' & \u202egnp.json\u0007'
export const HOSTILE_TEXT = '</style></table><script>document.title = "taken"</script><b>bold</b>'

/** A bundle of two Observations and a nested bundle of one Patient. */
export const BUNDLE = {
  resourceType: 'Bundle',
  type: 'collection',
  entry: [
    { resource: { resourceType: 'Observation', id: 'secret-1' } },
    { resource: { resourceType: 'Observation', id: 'secret-2' } },
    {
      resource: {
        resourceType: 'Bundle',
        type: 'collection',
        entry: [{ resource: { resourceType: 'Patient', name: [{ family: 'Secret-Name' }] } }],
      },
    },
  ],
}

export function anIssue(changes: Partial<Issue> = {}): Issue {
  return {
    severity: 'error',
    type: 'required',
    code: 'STRUCTURE',
    at: 'Bundle.entry[0].resource.status',
    expected: 'a status',
    remedy: 'Add it.',
    rule: 'Observation.status',
    ...changes,
  }
}

export function aRecomputed(changes: Partial<RecomputedAverage> = {}): RecomputedAverage {
  return {
    at: 'Bundle.entry[1].resource',
    verdict: 'agrees',
    protocol: 'nice-ng136-home',
    differences: [],
    readings: 24,
    sources: ['NICE guideline NG136, 1.4.22'],
    ...changes,
  }
}

export function anExamined(changes: Partial<ExaminedResource> = {}): ExaminedResource {
  return { place: { file: 'week/bundle.json' }, resource: BUNDLE, issues: [], recomputed: [], ...changes }
}

/** Everything a page has to show, with names and texts that try to break out of it. */
export function hostileExaminations(): readonly ExaminedResource[] {
  const long = `Bundle.entry[0].resource.${'component[0].value.extension[12].'.repeat(9)}value`
  return [
    anExamined(),
    anExamined({ place: { file: `week/${'a-long-name-without-any-space-'.repeat(8)}.json` } }),
    anExamined({
      place: { file: HOSTILE_NAME, item: 2 },
      issues: [
        anIssue({
          expected: HOSTILE_TEXT,
          remedy: HOSTILE_TEXT,
          rule: '<script>',
          at: `Observation.${HOSTILE_TEXT}`,
        }),
        anIssue({
          at: long,
          rule: 'obs-7',
          code: 'INVARIANT',
          expected: 'no value beside a component of its code',
        }),
      ],
    }),
    ...Array.from({ length: 9 }, (_, at) =>
      anExamined({
        place: { file: 'week/lines.ndjson', line: at + 1 },
        issues: [
          anIssue(),
          anIssue({ at: 'Bundle.entry[1].resource.status' }),
          anIssue({
            severity: 'warning',
            code: 'CODE',
            rule: 'ucum',
            expected: 'the unit mm[Hg]',
            remedy: 'Use it.',
          }),
          anIssue({
            severity: 'information',
            type: 'not-supported',
            code: 'PROFILE',
            rule: 'http://example.org/StructureDefinition/ours',
            expected: `a slicing by profile, ${HOSTILE_TEXT}`,
          }),
        ],
        recomputed: [
          aRecomputed(),
          aRecomputed({
            verdict: 'differs',
            differences: [
              {
                what: 'mean systolic',
                at: 'Bundle.entry[1].resource.component[0].value.value',
                expected: '134.1 mmHg',
                found: '133 mmHg',
              },
              { what: HOSTILE_TEXT, at: HOSTILE_TEXT, expected: HOSTILE_TEXT, found: HOSTILE_TEXT },
            ],
            sources: [HOSTILE_TEXT],
          }),
          aRecomputed({
            verdict: 'not-recomputable',
            reason: 'It names no protocol.',
            assumed: [HOSTILE_TEXT],
          }),
        ],
      }),
    ),
    {
      place: { file: 'week/lines.ndjson', line: 10 },
      issues: [anIssue({ code: 'NOT_JSON', at: 'line 1, column 9', expected: 'a value' })],
      recomputed: [],
    },
  ]
}
