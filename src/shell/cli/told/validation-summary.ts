import type { AuditReport, ReadAccount, RuleVerdict } from '../../../core/audit-report/audit-report.ts'
import { visibleText } from '../../../core/basics/visible-text.ts'
import { counted } from '../../../core/clinical/report/narrative-words.ts'
import { STANDARD_INPUT } from '../files/resource-files.ts'

/** Rules named in a summary. */
const MOST_RULES = 5

/**
 * What came of a validation, in sentences: how many of each verdict, the rules most often broken, averages worked out
 * again.
 */
export function summarySentences({
  read,
  verdicts,
  rules,
  averages,
}: Pick<AuditReport, 'read' | 'verdicts' | 'rules' | 'averages'>): readonly string[] {
  const { valid, validWithRemarks, invalid } = verdicts
  const broken = rules
    .filter(({ severity }) => severity === 'error' || severity === 'fatal')
    .sort((one, other) => other.times - one.times)
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
          `Averages worked out again: ${agree === 1 ? '1 agrees with its' : `${agree} agree with their`} readings, ${differ} ${differ === 1 ? 'differs' : 'differ'}, ` +
            `${notRecomputable} could not be.`,
        ]),
    ...emptySentences(read),
    ...(read.skipped === 0
      ? []
      : [`${counted(read.skipped, 'file')} left aside: not named .json or .ndjson.`]),
  ]
}

/** Names each file and folder that holds no resource: a file that is passed over must not look as if it had been judged. */
export function emptySentences({ handedOver, empty }: ReadAccount): readonly string[] {
  const named = empty.map((path) => (path === STANDARD_INPUT ? 'standard input' : visibleText(path)))
  return [
    ...(named.length === 0 ? [] : [`No resource in: ${named.join(', ')}.`]),
    ...(handedOver === 0
      ? [
          'Nothing was judged: expected FHIR R4 resources, in files named .json or .ndjson, or on standard input.',
        ]
      : []),
  ]
}

function ruleTimes({ rule, code, times }: RuleVerdict): string {
  return `${rule ?? code} (${times})`
}
