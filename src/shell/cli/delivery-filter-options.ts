import { type Command, InvalidArgumentError, Option } from 'commander'
import { ERROR_CODES } from '../../core/basics/error-codes.ts'
import { readInstant } from '../../core/basics/instant.ts'
import { OUTBOX_KINDS, OUTBOX_STATES, type OutboxKind, type OutboxState } from '../../core/outbox/entry.ts'
import type { DeliveryFilter } from '../../flow/ports.ts'

export interface DeliveryFilterOptions {
  readonly state?: OutboxState
  readonly destination?: string
  readonly source?: string
  readonly kind?: OutboxKind
  readonly problem?: string
  readonly queuedBefore?: number
}

/** Options that say which deliveries are meant; each narrows. */
export function deliveryFilterOptions(command: Command): Command {
  return command
    .addOption(new Option('--state <state>', 'only those in this state').choices(OUTBOX_STATES))
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
