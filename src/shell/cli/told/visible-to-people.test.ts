/** What others wrote cannot steer the terminal of whoever reads it: titles, colours, cleared lines, turned directions. */
import { describe, expect, it } from 'vitest'
import type { ToldDeliveryInFull } from '../../../flow/operate/told-delivery.ts'
import { FileFailed } from '../files/file-failed.ts'
import { shownPlace } from '../files/read-records.ts'
import { auditTable } from './audit-table.ts'
import { deliveryLines, previewLines } from './delivery-lines.ts'
import { deliveryList } from './delivery-list.ts'
import { enrolmentTable, linkLines, waitingTable } from './enrolment-table.ts'
import { periodTable } from './period-table.ts'
import { rehearsalLines } from './rehearsal-lines.ts'
import { sourceIssueText } from './source-issue-text.ts'

/** A window’s title by ESC, a cleared screen by the one-byte form of the same, and a turn of direction. */
const STEERS = '\u001b]0;title\u0007 \u009b2J \u202e'
const STEERING = /(?![\n\t])[\p{Cc}\p{Cf}]/u

const ISSUE = {
  severity: 'error',
  type: 'value',
  code: 'OUT_OF_RANGE',
  at: 'pulse',
  expected: 'a number',
  remedy: 'Check it.',
} as const

const DELIVERY: ToldDeliveryInFull = {
  id: 7,
  destination: 'clinic',
  source: 'harbour-app',
  subject: 'HW-1042',
  kind: 'session',
  urgent: false,
  about: 'a',
  state: 'parked',
  attempts: 1,
  queued: '2026-03-02T06:00:00Z',
  uncertain: false,
  said: { text: `MSH|^~\\&|\nMSA|AE|1|${STEERS}` },
}

/** As a name may hold it: it hides, and turns the direction of what follows. Short, so that no table wraps it. */
const ODD = 'HW\u202e-7'
const PERIOD = {
  id: 'p-1',
  source: 'harbour-app',
  subject: ODD,
  protocol: 'nice-ng136-home',
  destination: 'clinic',
  zone: 'Europe/London',
  firstDay: '2026-03-02',
  lastDay: '2026-03-08',
  days: 7,
  state: 'open',
  revision: 0,
  due: '2026-03-09T12:00:00Z',
} as const
const ENROLMENT = {
  source: 'harbour-app',
  subject: 'HW-7',
  patient: { system: 'https://clinic.example/mrn', value: 'P-7' },
  zone: 'Europe/London',
  destination: 'clinic',
}
const ROW = {
  seq: 1,
  at: '2026-03-02T06:00:00Z',
  actor: 'operator',
  action: 'enrolment-saved',
  outcome: 'done',
  about: 'harbour-app',
  detail: {},
  hash: '',
} as const

describe('a name that others chose', () => {
  it.each([
    ['a subject in the list of enrolments', enrolmentTable([{ ...ENROLMENT, subject: ODD }])],
    ['a patient there', enrolmentTable([{ ...ENROLMENT, patient: { ...ENROLMENT.patient, value: ODD } }])],
    [
      'another one linked to the same',
      linkLines({ linked: [{ source: 'b', subject: ODD }], remark: 'x' }, 99).join(''),
    ],
    [
      'one who is not enrolled',
      waitingTable([{ subject: ODD, sessions: 1, firstReceived: ROW.at, lastReceived: ROW.at }]),
    ],
    ['one whose period is listed', periodTable([PERIOD])],
    ['one whose delivery is listed', deliveryList([{ ...DELIVERY, subject: ODD }], 112).join('\n')],
    ['one whose delivery is shown', deliveryLines({ ...DELIVERY, said: {}, subject: ODD }, 200).join('\n')],
    ['what an audit row is about', auditTable([{ ...ROW, about: ODD }])],
    [
      'what is previewed as a bundle',
      previewLines({ id: 7, destination: 'clinic', bundle: { note: ODD } as never }, 200).join('\n'),
    ],
    [
      'what is previewed as a message',
      previewLines({ id: 7, destination: 'clinic', message: ODD }, 200).join('\n'),
    ],
  ])('shows what cannot be seen in it: %s', (_, shown) => {
    expect(shown).not.toMatch(STEERING)
    expect(shown).toContain('HW‹U+202E›-7')
  })
})

describe('a text of others on a terminal', () => {
  it.each([
    ['the name of a file', shownPlace({ file: `week${STEERS}.ndjson`, line: 3 })],
    ['a file that fails', new FileFailed('read', `no${STEERS}.json`, undefined).message],
    ['a place in a source', sourceIssueText({ ...ISSUE, from: `$['${STEERS}']` })],
    ['what a clinic’s server said', deliveryLines(DELIVERY, 200).join('\n')],
    [
      'what a mapping read',
      rehearsalLines(
        `week${STEERS}.csv`,
        {
          verdict: 'passes',
          sources: [{ path: `$['${STEERS}']` }],
          record: { note: STEERS },
          fields: [{ place: 'note', how: 'as-is', rule: 'r', line: 1, from: [{ path: `$['${STEERS}']` }] }],
          unfilled: [],
          ignored: [{ path: STEERS, line: 2 }],
          issues: [],
          remarks: [],
          findings: [],
          observations: 1,
          withdraws: STEERS,
        },
        200,
      ).join('\n'),
    ],
  ])('steers nothing: %s', (_, shown) => {
    expect(shown).not.toMatch(STEERING)
    expect(shown).toContain('‹U+001B›]0;title‹U+0007›')
  })

  it('keeps its lines where a clinic’s server said several', () => {
    expect(deliveryLines(DELIVERY, 200).join('\n')).toContain('MSH|^~\\&|\nMSA|AE|1|‹U+001B›')
  })
})
