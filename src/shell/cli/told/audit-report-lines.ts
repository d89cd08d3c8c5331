import type { AuditReport, IssuePlace, RuleVerdict } from '../../../core/audit-report/audit-report.ts'
import { visibleText } from '../../../core/basics/visible-text.ts'
import { inDigits } from '../../pages/data-table.ts'
import { averagesSentence, verdictSentence } from '../../pages/report-sentences.ts'
import { shownPlace } from '../files/read-records.ts'
import { bad, prose, quiet, strong, warn } from '../terminal.ts'
import { emptySentences } from './validation-summary.ts'

/** The report in short, for a terminal: the outcome, each rule with its first place, each average that differs. */
export function auditReportLines(report: AuditReport, width: number): readonly string[] {
  const { read, verdicts, rules, averages, cautions } = report
  return [
    prose(strong(`${verdictSentence(report)} ${averagesSentence(averages)}`), width),
    prose(
      `${inDigits(verdicts.valid)} valid, ${inDigits(verdicts.validWithRemarks)} valid with remarks, ${inDigits(verdicts.invalid)} not valid.`,
      width,
    ),
    ...emptySentences(read).map((sentence) => prose(sentence, width)),
    ...rules.flatMap(ruleLines).map((line) => prose(line, width)),
    ...averages.differing.flatMap(({ place, differences }) => [
      '',
      `${bad('differs')}  ${placeText(place)}`,
      ...differences.map(({ what, expected, found }) =>
        prose(
          `${visibleText(what)}: states ${visibleText(found)}, its readings give ${visibleText(expected)}`,
          width,
        ),
      ),
    ]),
    ...(rules.length === 0
      ? []
      : [quiet('--html report.html gives every rule with its places and remedies.')]),
    ...cautions.map((caution) => prose(quiet(caution), width)),
  ]
}

function ruleLines({
  severity,
  rule,
  code,
  times,
  inResources,
  expectations,
}: RuleVerdict): readonly string[] {
  const mark = severity === 'error' || severity === 'fatal' ? bad(severity) : warn(severity)
  const count = `${times === 1 ? 'once' : `${inDigits(times)} times`} in ${inDigits(inResources)} ${inResources === 1 ? 'resource' : 'resources'}`
  const [first] = expectations
  const place = first?.places[0]
  return [
    '',
    `${mark}  ${strong(visibleText(rule ?? code))}  ${count}`,
    ...(first === undefined || place === undefined
      ? []
      : [
          `  first ${placeText(place)}: expected ${visibleText(first.expected)}. ${visibleText(first.remedy)}`,
        ]),
  ]
}

function placeText(place: IssuePlace): string {
  const shown = place.file === '-' ? { ...place, file: 'standard input' } : place
  return visibleText(place.at === '' ? shownPlace(shown) : `${shownPlace(shown)} ${place.at}`)
}
