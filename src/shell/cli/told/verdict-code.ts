import { type Command, Option } from 'commander'
import type { AuditReport } from '../../../core/audit-report/audit-report.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'

/** What makes a run end with 1: each with what `error` means, the last two with what `average` means, too. */
const FAILING = ['error', 'average', 'unproven', 'warning'] as const

export interface FailOnOption {
  readonly failOn: (typeof FAILING)[number]
}

export function failOnOption(command: Command): Command {
  return command.addOption(
    new Option(
      '--fail-on <what>',
      'what ends with exit code 1: error, a resource that is not valid; average, also an average that is not what its ' +
        'readings give; unproven, also one that cannot be worked out again, but for those entered in error; warning, as ' +
        'average, and any warning',
    )
      .choices(FAILING)
      .default('error'),
  )
}

type Told = Pick<AuditReport, 'read' | 'verdicts' | 'averages' | 'rules'>

/** How a run over resources ends. Where remarks were cut short a warning may be among them, and counts as one. */
export function verdictCode({ read, verdicts, averages, rules }: Told, { failOn }: FailOnOption): ExitCode {
  const warned = read.cutShort > 0 || rules.some(({ severity }) => severity === 'warning')
  const unproven = averages.notRecomputable - averages.takenBack
  const failed =
    read.handedOver === 0 ||
    verdicts.invalid > 0 ||
    (failOn !== 'error' && averages.differ > 0) ||
    (failOn === 'unproven' && unproven > 0) ||
    (failOn === 'warning' && warned)
  return failed ? EXIT.refused : EXIT.done
}
