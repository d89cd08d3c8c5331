import { type Command, Option } from 'commander'
import { visibleText } from '../../../core/basics/visible-text.ts'
import type { Ports } from '../../../flow/ports/ports.ts'
import type { Incoming } from '../../../flow/receive/incoming.ts'
import { type Outcome, receiveSessions } from '../../../flow/receive/receive-sessions.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { type ArrivingRecord, arrivingRecords } from '../files/arriving-records.ts'
import { findLoadedMapping } from '../files/find-mapping.ts'
import { keepHeapSmall } from '../keep-heap-small.ts'
import { onStore } from '../on-store.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { settingsOption } from '../options/settings-option.ts'
import { subjectOf, subjectOption } from '../options/subject-option.ts'
import { bad, quiet, type Terminal } from '../terminal.ts'
import { sourceIssueText } from '../told/source-issue-text.ts'

interface ReceiveOptions {
  readonly source: string
  readonly mapping?: string
  readonly subject?: string
  readonly changed: 'refused' | 'corrects'
  readonly settings?: string
  readonly json?: true
}

/** Records that are kept in one commit. */
const RECORDS_PER_BATCH = 500

type Counts = Record<Outcome['kind'], number>

/**
 * `receive`: takes files of records into the store, as the service would. What was kept stays kept wherever it breaks
 * off, and the same files again are recognised, so that it is resumed by being repeated.
 */
export function addReceive(
  program: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  settingsOption(program.command('receive'))
    .summary('take files of records into the store')
    .description(
      'Takes records from files into the store, on the store directly; the service may go on running. ' +
        'What passes is kept, what does not is listed with its line; repeat it to go on where it broke off.',
    )
    .argument(
      '[files...]',
      'session records (JSON, an array, NDJSON), or files in the format of a mapping; - for standard input',
    )
    .requiredOption('--source <name>', 'the registered source that sent them')
    .option('--mapping <name>', 'how they are read, where they are no session records')
    .addOption(subjectOption())
    .addOption(
      new Option('--changed <what>', 'what becomes of a sitting whose id is taken by other content')
        .choices(['refused', 'corrects'])
        .default('refused'),
    )
    .option('--json', 'one line of JSON for each record, then the summary')
    .action(async (files: string[], options: ReceiveOptions) => {
      keepHeapSmall()
      done(await onStore(openGateway, options, (at) => receive(files, options, terminal, at)))
    })
}

async function receive(
  files: readonly string[],
  options: ReceiveOptions,
  terminal: Terminal,
  at: Ports,
): Promise<ExitCode> {
  const { source } = options
  if (!(await at.store.sources()).some(({ name }) => name === source)) {
    terminal.remark(
      `${bad('refused')}  --source: expected the name of a registered source. Register it first. [UNKNOWN_SOURCE]`,
    )
    return EXIT.refused
  }
  const mapping =
    options.mapping === undefined ? undefined : findLoadedMapping(options.mapping, at.catalogue.mappings)
  const counts: Counts = { kept: 0, same: 0, corrected: 0, withdrawn: 0, refused: 0, skipped: 0 }
  let batch: ArrivingRecord[] = []
  const keep = async () => {
    const incoming: Incoming[] = batch.map((one) => one.incoming)
    const outcomes = await receiveSessions(incoming, { source }, at)
    for (const [index, outcome] of outcomes.entries()) {
      counts[outcome.kind] += 1
      tell(batch[index]?.place ?? {}, outcome, options, terminal)
    }
    batch = []
  }
  const intake = {
    corrects: options.changed === 'corrects',
    ...(mapping === undefined ? {} : subjectOf(mapping, options.subject)),
  }
  for await (const record of arrivingRecords(files, mapping, intake, terminal, () => besides(counts))) {
    batch.push(record)
    if (batch.length === RECORDS_PER_BATCH) await keep()
  }
  await keep()

  if (options.json) terminal.print(JSON.stringify({ summary: counts }))
  else terminal.remark(quiet(`${besides(counts)}.`))
  return counts.refused === 0 ? EXIT.done : EXIT.refused
}

function besides({ kept, same, corrected, withdrawn, refused, skipped }: Counts): string {
  const parts = [`${kept} kept`, `${same} known already`, `${refused} refused`]
  if (corrected > 0) parts.push(`${corrected} corrected`)
  if (withdrawn > 0) parts.push(`${withdrawn} withdrawn`)
  if (skipped > 0) parts.push(`${skipped} left out`)
  return parts.join(', ')
}

function tell(
  place: ArrivingRecord['place'],
  outcome: Outcome,
  { json }: Pick<ReceiveOptions, 'json'>,
  terminal: Terminal,
): void {
  if (json) terminal.print(JSON.stringify({ ...place, ...outcome }))
  else if (outcome.kind === 'refused') {
    for (const issue of outcome.issues)
      terminal.remark(`${bad('refused')}  ${visibleText(place.file ?? '-')}  ${sourceIssueText(issue)}`)
  }
}
