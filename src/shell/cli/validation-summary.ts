import type { AuditReport, RuleVerdict } from '../../core/audit-report/audit-report.ts'

/** Rules named in a summary. */
const MOST_RULES = 5

/** What came of a validation, in sentences: how many of each verdict, the rules most often broken, averages worked out again. */
export function summarySentences({
  read,
  verdicts,
  rules,
  averages,
}: Pick<AuditReport, 'read' | 'verdicts' | 'rules' | 'averages'>): readonly string[] {
  const { valid, validWithRemarks, invalid } = verdicts
  const broken = rules.filter(({ severity }) => severity === 'error' || severity === 'fatal')
  const { agree, differ, notRecomputable } = averages
  return [
    `${counted(read.handedOver, 'resource')} in ${counted(read.files, 'file')}: ${valid} valid, ` +
      `${validWithRemarks} valid with remarks, ${invalid} not valid.`,
    ...(broken.length === 0
      ? []
      : [`Most often broken: ${broken.slice(0, MOST_RULES).map(ruleTimes).join(', ')}.`]),
    ...(agree + differ + notRecomputable === 0
      ? []
      : [
          `Averages worked out again: ${agree} agree with their readings, ${differ} differ, ` +
            `${notRecomputable} could not be.`,
        ]),
    ...(read.skipped === 0
      ? []
      : [`${counted(read.skipped, 'file')} left aside: not named .json or .ndjson.`]),
  ]
}

function ruleTimes({ rule, code, times }: RuleVerdict): string {
  return `${rule ?? code} (${times})`
}

function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`
}
