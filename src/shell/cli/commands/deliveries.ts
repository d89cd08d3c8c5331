import { type Command, InvalidArgumentError } from 'commander'
import { type Issue, issueText } from '../../../core/basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../../../core/basics/result.ts'
import { OUTBOX_STATES, type OutboxState, STUCK_STATES } from '../../../core/outbox/entry.ts'
import { retryTable } from '../../../core/outbox/retry-schedule.ts'
import { confirmDelivery } from '../../../flow/operate/confirm-delivery.ts'
import { previewDelivery } from '../../../flow/operate/preview-delivery.ts'
import { retryDeliveries, retryDelivery } from '../../../flow/operate/retry-deliveries.ts'
import { NO_SUCH_DELIVERY, type Steered } from '../../../flow/operate/steer-delivery.ts'
import { toldDelivery, toldInFull } from '../../../flow/operate/told-delivery.ts'
import { unknownInFilter } from '../../../flow/operate/unknown-in-filter.ts'
import type { DeliveryFilter, Ports } from '../../../flow/ports/ports.ts'
import { recordRead, type Shown } from '../../../flow/prove/record-read.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { onStore } from '../on-store.ts'
import type { OpenGateway } from '../open-gateway.ts'
import {
  type DeliveryFilterOptions,
  deliveryFilter,
  deliveryFilterOptions,
  unknownNameLines,
} from '../options/delivery-filter-options.ts'
import { loadSettings, settingsOption } from '../options/settings-option.ts'
import { wholeNumber } from '../options/whole-number.ts'
import { bad, quiet, strong, type Terminal } from '../terminal.ts'
import { deliveryLines, previewLines } from '../told/delivery-lines.ts'
import { deliveryList } from '../told/delivery-list.ts'
import { waitTable } from '../told/wait-table.ts'

interface Options {
  readonly settings?: string
  readonly json?: true
}

/** `deliveries`: what is on its way to clinics, why something is not, and what a person can do about it. */
export function addDeliveries(
  program: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  const deliveries = program
    .command('deliveries')
    .summary('see and steer what is on its way to clinics')
    .description(
      'Lists, explains, previews and retries deliveries, on the store directly; the service may go on running.',
    )
  const command = (name: string, description: string) =>
    settingsOption(deliveries.command(name)).description(description).option('--json', 'the answer as JSON')
  const refusal = (
    issue: Issue,
    options: Options,
    beside: { readonly state?: OutboxState } = {},
  ): ExitCode => {
    if (options.json) terminal.print(JSON.stringify({ issues: [issue], ...beside }))
    else terminal.remark(`${bad('refused')}  ${issueText({ ...issue, at: '<id>' })} [${issue.code}]`)
    return EXIT.refused
  }
  const noSuch = (options: Options): ExitCode => refusal(NO_SUCH_DELIVERY, options)
  /** What there is of a delivery, of which it is kept that it was shown. */
  const shown = <T>(
    id: number,
    what: Shown,
    options: Options,
    find: (at: Ports) => Promise<T | undefined>,
  ): Promise<T | undefined> =>
    onStore(openGateway, options, async (at) => {
      const found = await find(at)
      if (found !== undefined) await recordRead('operator', what, String(id), at)
      return found
    })
  /** Tells what became of one delivery, or why nothing did. */
  const steered = (result: Steered, became: object, words: string, options: Options): ExitCode => {
    if (!result.ok) {
      const { issue, state } = result
      return refusal(issue, options, state === undefined ? {} : { state })
    }
    terminal.print(options.json ? JSON.stringify(became) : words)
    return EXIT.done
  }

  /** Does something with the deliveries that a filter means, once it is known to mean any. */
  const meant = <T>(
    filter: DeliveryFilter,
    options: Options,
    act: (at: Ports) => Promise<T>,
  ): Promise<Result<T>> =>
    onStore(openGateway, options, async (at) => {
      const unknown = await unknownInFilter(filter, at)
      return isNonEmpty(unknown) ? refused(unknown) : ok(await act(at))
    })
  const unknownNames = (issues: readonly Issue[], options: Options): ExitCode => {
    if (options.json) terminal.print(JSON.stringify({ issues }))
    else for (const line of unknownNameLines(issues)) terminal.remark(line)
    return EXIT.refused
  }

  deliveryFilterOptions(command('list', 'list deliveries, oldest first'), OUTBOX_STATES)
    .option('--limit <number>', 'at most this many', wholeNumber, 50)
    .option('--after <id>', 'those after this id', deliveryId)
    .action(async (options: Options & DeliveryFilterOptions & { limit: number; after?: number }) => {
      const { limit, after } = options
      const page = { limit, ...(after === undefined ? {} : { after: String(after) }) }
      const filter = deliveryFilter(options)
      const entries = await meant(filter, options, ({ store }) => store.deliveryPage({ ...page, ...filter }))
      if (!entries.ok) return done(unknownNames(entries.issues, options))
      const told = entries.value.map(toldDelivery)
      if (options.json) terminal.print(JSON.stringify({ items: told }))
      else if (told.length === 0) terminal.print(quiet('no delivery'))
      else for (const line of deliveryList(told, terminal.width)) terminal.print(line)
      const last = told.at(-1)
      if (last !== undefined && told.length === limit) terminal.remark(quiet(`more with --after ${last.id}`))
      done(EXIT.done)
    })

  command(
    'show',
    'one delivery: why it stands as it does, what the clinic’s server said, and where it stands there',
  )
    .argument('<id>', 'id of the delivery', deliveryId)
    .action(async (id: number, options: Options) => {
      const found = await shown(id, 'delivery', options, ({ store }) => store.delivery(id))
      if (found === undefined) return done(noSuch(options))
      const told = toldInFull(found)
      if (options.json) terminal.print(JSON.stringify(told))
      else for (const line of deliveryLines(told, terminal.width)) terminal.print(line)
      done(EXIT.done)
    })

  command('preview', 'what would be sent now, and how; asks the server what it can do, and sends nothing')
    .argument('<id>', 'id of the delivery', deliveryId)
    .action(async (id: number, options: Options) => {
      const preview = await shown(id, 'delivery-preview', options, (at) => previewDelivery(id, at))
      if (preview === undefined) return done(noSuch(options))
      if (options.json) terminal.print(JSON.stringify(preview))
      else for (const line of previewLines(preview, terminal.width)) terminal.print(line)
      done(EXIT.done)
    })

  deliveryFilterOptions(
    command('retry', 'try given-up and parked deliveries again: one, or those a filter means'),
    STUCK_STATES,
  )
    .argument('[id]', 'id of the delivery', deliveryId)
    .action(async (id: number | undefined, options: Options & DeliveryFilterOptions) => {
      const filter = deliveryFilter(options)
      if ((id === undefined) === (Object.keys(filter).length === 0)) {
        terminal.remark(`${bad('usage')}  give an id, or say which with --state, --destination and the like`)
        return done(EXIT.usage)
      }
      if (id !== undefined) {
        const result = await onStore(openGateway, options, (at) => retryDelivery(id, 'operator', at))
        return done(steered(result, { retried: 1 }, '1 queued again.', options))
      }
      const result = await meant(filter, options, (at) => retryDeliveries(filter, 'operator', at))
      if (!result.ok) return done(unknownNames(result.issues, options))
      const retried = result.value
      terminal.print(options.json ? JSON.stringify({ retried }) : `${retried} queued again.`)
      done(EXIT.done)
    })

  command('confirm', 'say that a given-up or parked delivery was found in the clinic’s record')
    .argument('<id>', 'id of the delivery', deliveryId)
    .action(async (id: number, options: Options) => {
      const result = await onStore(openGateway, options, (at) => confirmDelivery(id, 'operator', at))
      done(steered(result, { id, state: 'settled' }, `Delivery ${id} is settled.`, options))
    })

  command('waits', 'how long is waited between attempts, by the settings').action((options: Options) => {
    const rows = retryTable(loadSettings(options.settings).delivery)
    if (options.json) terminal.print(JSON.stringify({ waits: rows }))
    else {
      terminal.print(strong('After each attempt that failed, anywhere between nothing and the longest wait:'))
      terminal.print(waitTable(rows))
    }
    done(EXIT.done)
  })
}

function deliveryId(text: string): number {
  if (!/^\d{1,15}$/.test(text)) throw new InvalidArgumentError('Give a whole number.')
  return Number(text)
}
