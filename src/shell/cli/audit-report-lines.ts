import type { AuditReport, IssuePlace } from '../../core/audit-report/audit-report.ts'
import { visibleText } from '../../core/audit-report/visible-text.ts'
import { averagesSentence, verdictSentence } from '../pages/report-sentences.ts'
import { shownPlace } from './read-records.ts'
import { bad, prose, quiet, strong, table } from './terminal.ts'

/** The report in short, for a terminal: the outcome, each rule with its first place, each average that differs. */
export function auditReportLines(report: AuditReport, width: number): readonly string[] {
  const { verdicts, rules, averages, cautions } = report
  return [
    prose(strong(`${verdictSentence(report)} ${averagesSentence(averages)}`), width),
    prose(
      `${verdicts.valid} valid, ${verdicts.validWithRemarks} valid with remarks, ${verdicts.invalid} invalid.`,
      width,
    ),
    ...rulesTable(report, width),
    ...averages.differing.flatMap(({ place, differences }) => [
      `${bad('differs')}  ${placeText(place)}`,
      ...differences.map(
        ({ what, expected, found }) =>
          `  ${visibleText(what)}: states ${visibleText(found)}, its readings give ${visibleText(expected)}`,
      ),
    ]),
    ...(rules.length === 0
      ? []
      : [quiet('--html report.html gives every rule with its places and remedies.')]),
    ...cautions.map((caution) => prose(quiet(caution), width)),
  ]
}

function rulesTable({ rules }: AuditReport, width: number): readonly string[] {
  if (rules.length === 0) return []
  const rows = rules.map(({ severity, rule, code, times, inResources, expectations }) => {
    const [first] = expectations
    const place = first?.places[0]
    return [
      severity,
      rule ?? code,
      String(times),
      String(inResources),
      first === undefined || place === undefined ? '' : `${placeText(place)}: expected ${first.expected}`,
    ]
  })
  const columns = [13, 22, 8, 11]
  const rest = Math.max(30, width - columns.reduce((sum, one) => sum + one, 0) - columns.length - 2)
  return [table(['severity', 'rule', 'times', 'resources', 'first'], rows, [...columns, rest])]
}

function placeText(place: IssuePlace): string {
  const shown = place.file === '-' ? { ...place, file: 'standard input' } : place
  return visibleText(place.at === '' ? shownPlace(shown) : `${shownPlace(shown)} ${place.at}`)
}
