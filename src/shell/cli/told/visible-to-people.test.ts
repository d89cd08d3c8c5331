/** What others wrote cannot steer the terminal of whoever reads it: titles, colours, cleared lines, turned directions. */
import { describe, expect, it } from 'vitest'
import type { ToldDeliveryInFull } from '../../../flow/operate/told-delivery.ts'
import { FileFailed } from '../files/file-failed.ts'
import { shownPlace } from '../files/read-records.ts'
import { deliveryLines } from './delivery-lines.ts'
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
