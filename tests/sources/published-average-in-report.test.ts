// HL7 CardX Hypertension Management Implementation Guide 1.0.0 STU1: one week of 28 home readings, for which the guide
// prints 134/84 (`AverageSMBP-Protocol-example`) and, for the 8 of the first two days, 136/86 (`AverageSMBP-example`).
// By arithmetic outside this code the readings sum to 3761/2429 and 1092/696: means of 134.32/86.75 and 136.5/87.0.
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import type { AuditReport } from '../../src/core/audit-report/audit-report.ts'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { type PRINTED_AVERAGES, publishedAverageBundle } from '../fixtures/published-average-bundle.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

const folder = mkdtempSync(join(tmpdir(), 'published-average-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

async function reported(printed: keyof typeof PRINTED_AVERAGES) {
  const [input, html] = [join(folder, 'week.json'), join(folder, 'report.html')]
  writeFileSync(input, JSON.stringify(publishedAverageBundle(printed)))
  const at = recordedTerminal()
  const code = await runCommandLine(['report', input, '--json', '--html', html], at, openGateway, '0.0.0')
  const report: AuditReport = JSON.parse(at.output())
  return { code, report, page: readFileSync(html, 'utf8') }
}

describe('the report on the published week and the average printed for it', () => {
  it('finds that 134/84 does not follow from the 28 readings: in diastolic, and in nothing else', async () => {
    const { code, report, page } = await reported('all 28 readings')
    expect(code).toBe(0)
    expect(report.averages).toMatchObject({ agree: 0, differ: 1, notRecomputable: 0 })
    const [average] = report.averages.differing
    expect(average).toMatchObject({ readings: 28, place: { at: 'Bundle.entry[28].resource' } })
    expect(average?.differences).toEqual([
      {
        what: expect.stringContaining('diastolic'),
        at: expect.stringMatching(/^Bundle\.entry\[28\]\.resource\.component\[1\]/),
        expected: expect.stringContaining('87'),
        found: expect.stringContaining('84'),
      },
    ])
    expect(page).toContain('The one average differs from what its readings give.')
  })

  it('finds that 136/86 does not follow from the 8 readings of the first two days', async () => {
    const { report } = await reported('the 8 of the first two days')
    const diastolic = report.averages.differing[0]?.differences.find(({ what }) => what.includes('diastolic'))
    expect(diastolic).toMatchObject({
      expected: expect.stringContaining('87'),
      found: expect.stringContaining('86'),
    })
  })
})
