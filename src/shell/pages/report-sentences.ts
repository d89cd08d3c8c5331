import type { AuditReport, AverageVerdicts } from '../../core/audit-report/audit-report.ts'
import { inDigits } from './data-table.ts'

/** The verdict on all that was handed over, as one sentence. */
export function verdictSentence({ read, verdicts }: AuditReport): string {
  const { handedOver } = read
  if (handedOver === 0) return 'No resource was found.'
  if (verdicts.invalid === 0) {
    return handedOver === 1
      ? 'The one resource is valid.'
      : `All ${inDigits(handedOver)} resources are valid.`
  }
  if (handedOver === 1) return 'The one resource is not valid.'
  return verdicts.invalid === handedOver
    ? `None of the ${inDigits(handedOver)} resources is valid.`
    : `${inDigits(verdicts.invalid)} of ${inDigits(handedOver)} resources ${verdicts.invalid === 1 ? 'is' : 'are'} not valid.`
}

/** What came of working the averages out again, as one sentence. */
export function averagesSentence({ agree, differ, notRecomputable }: AverageVerdicts): string {
  const all = agree + differ + notRecomputable
  if (all === 0) return 'There was no average to work out again.'
  if (all === 1) return `The one average ${theOne(agree, differ)}.`
  const parts = [
    ...(differ === 0
      ? []
      : [
          `${inDigits(differ)} ${differ === 1 ? 'differs from what its' : 'differ from what their'} readings give`,
        ]),
    ...(agree === 0 ? [] : [`${inDigits(agree)} ${agree === 1 ? 'agrees' : 'agree'}`]),
    ...(notRecomputable === 0 ? [] : [`${inDigits(notRecomputable)} could not be worked out again`]),
  ]
  return `Of ${inDigits(all)} averages, ${parts.join(', ')}.`
}

function theOne(agree: number, differ: number): string {
  if (differ === 1) return 'differs from what its readings give'
  return agree === 1 ? 'agrees with its readings' : 'could not be worked out again'
}
