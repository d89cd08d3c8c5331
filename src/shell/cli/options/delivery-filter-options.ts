import { type Command, InvalidArgumentError, Option } from 'commander'
import { ERROR_CODES } from '../../../core/basics/error-codes.ts'
import { readInstant } from '../../../core/basics/instant.ts'
import { type Issue, issueText } from '../../../core/basics/issue.ts'
import { OUTBOX_KINDS, type OutboxKind, type OutboxState } from '../../../core/outbox/entry.ts'
import type { DeliveryFilter } from '../../../flow/ports/ports.ts'
import { bad } from '../terminal.ts'

export interface DeliveryFilterOptions {
  readonly state?: OutboxState
  readonly destination?: string
  readonly source?: string
  readonly kind?: OutboxKind
  readonly problem?: string
  readonly queuedBefore?: number
}

/** Options that say which deliveries are meant, of those in `states`; each narrows. */
export function deliveryFilterOptions(command: Command, states: readonly OutboxState[]): Command {
  return command
    .addOption(new Option('--state <state>', 'only those in this state').choices(states))
    .option('--destination <name>', 'only those for this destination')
    .option('--source <name>', 'only those of this source')
    .addOption(new Option('--kind <kind>', 'only those of this kind').choices(OUTBOX_KINDS))
    .option('--problem <code>', 'only those with this problem, such as CLINIC_REFUSED', problemCode)
    .option('--queued-before <time>', 'only those queued before, such as 2026-03-02T00:00:00Z', moment)
}

export function deliveryFilter(options: DeliveryFilterOptions): DeliveryFilter {
  const { state, destination, source, kind, problem, queuedBefore } = options
  return {
    ...(state === undefined ? {} : { state }),
    ...(destination === undefined ? {} : { destination }),
    ...(source === undefined ? {} : { source }),
    ...(kind === undefined ? {} : { kind }),
    ...(problem === undefined ? {} : { problem }),
    ...(queuedBefore === undefined ? {} : { queuedBeforeMs: queuedBefore }),
  }
}

/** One line for each name of a filter that means nothing. */
export function unknownNameLines(issues: readonly Issue[]): readonly string[] {
  return issues.map(
    (issue) => `${bad('refused')}  ${issueText({ ...issue, at: `--${issue.at}` })} [${issue.code}]`,
  )
}

function problemCode(text: string): string {
  if (!Object.hasOwn(ERROR_CODES, text)) {
    throw new InvalidArgumentError('Give a code as a delivery shows it, such as CLINIC_REFUSED.')
  }
  return text
}

function moment(text: string): number {
  const instant = readInstant(text)
  if (instant === undefined) {
    throw new InvalidArgumentError('Give an RFC 3339 time with seconds and offset.')
  }
  return instant.epochMs
}
