import type { Command } from 'commander'
import { SettingsRefused } from '../../../core/basics/gateway-error.ts'
import { CAUTION } from '../../../core/clinical/report/caution.ts'
import type { Mapping } from '../../../core/mapping/mapping.ts'
import { type Rehearsal, rehearse } from '../../../flow/intake/rehearse.ts'
import { loadMappings } from '../../config/catalogue/load-mappings.ts'
import { packageRoot } from '../../config/package-root.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { findMapping } from '../files/find-mapping.ts'
import { mappedFiles } from '../files/mapped-files.ts'
import { type PersonOptions, personOptions, readPerson } from '../options/person-options.ts'
import { sourceName } from '../options/source-name.ts'
import { subjectOf, subjectOption } from '../options/subject-option.ts'
import { bad, quiet, strong, type Terminal, table } from '../terminal.ts'
import { rehearsalLines } from '../told/rehearsal-lines.ts'

/** `mapping`: how records in other formats are read, and a rehearsal. Stores and sends nothing. */
export function addMapping(program: Command, terminal: Terminal, done: (code: ExitCode) => void): void {
  const mapping = program
    .command('mapping')
    .summary('read records in another format, as a rehearsal')
    .description(
      'Mappings say how records in another format become session records. Nothing is stored or sent.',
    )

  mapping
    .command('list')
    .description('the mappings that ship')
    .option('--json', 'the answer as JSON')
    .action((options: { json?: true }) => done(list(options.json === true, terminal)))

  personOptions(
    mapping
      .command('check')
      .description(
        'check a mapping, and show what each sitting of the files would become: field by field with where it came ' +
          'from, what no rule reads, and what would be refused',
      )
      .argument('<mapping>', 'name of a mapping that ships, or the path of a mapping’s file')
      .argument('[files...]', 'files in its format; - for standard input; none to check the mapping alone')
      .option(
        '--source <name>',
        'name of the home app or feed; ids are made from it',
        sourceName,
        'rehearsal',
      )
      .addOption(subjectOption())
      .option('--json', 'one line of JSON for each sitting'),
  ).action(async (name: string, files: string[], options: CheckOptions) => {
    done(await check(name, files, options, terminal))
  })
}

/** Undefined, and told, for a file that is no mapping: here that is what was asked, and not a setting that failed. */
function usableOrTold(name: string, terminal: Terminal): Mapping | undefined {
  try {
    return findMapping(name)
  } catch (error) {
    if (!(error instanceof SettingsRefused)) throw error
    terminal.remark(`${bad('refused')}  ${error.message} [${error.code}]`)
    return undefined
  }
}

interface CheckOptions extends PersonOptions {
  readonly subject?: string
  readonly source: string
  readonly json?: true
}

function list(json: boolean, terminal: Terminal): ExitCode {
  const mappings = [...loadMappings({}, packageRoot()).values()]
  if (json)
    terminal.print(
      JSON.stringify(mappings.map(({ name, title, input }) => ({ name, title, format: input.format }))),
    )
  else {
    const rows = mappings.map(({ name, title, input }) => [strong(name), input.format, title])
    terminal.print(table(['mapping', 'format', 'for'], rows, [32, 11, Math.max(30, terminal.width - 47)]))
  }
  return EXIT.done
}

async function check(
  name: string,
  files: readonly string[],
  options: CheckOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const mapping = usableOrTold(name, terminal)
  if (mapping === undefined) return EXIT.refused
  if (files.length === 0) {
    const { kinds, input, sha256 } = mapping
    if (options.json)
      terminal.print(JSON.stringify({ mapping: mapping.name, sha256, kinds: kinds.map((kind) => kind.name) }))
    else
      terminal.print(`${strong(mapping.name)} can be used: ${input.format}, ${kinds.length} kinds of record.`)
    return EXIT.done
  }
  const intake = subjectOf(mapping, options.subject)
  const { source, canonicalBase } = options
  const person = readPerson(options)
  const context = { source, canonicalBase, receivedMs: Date.now(), personOf: () => person }
  const counts: Record<Rehearsal['verdict'], number> = { passes: 0, withdraws: 0, refused: 0, skipped: 0 }
  for await (const { file, arrival } of mappedFiles(files, mapping, intake, () => undefined)) {
    const rehearsal = rehearse(arrival, mapping, context)
    counts[rehearsal.verdict] += 1
    if (options.json) terminal.print(JSON.stringify({ file, ...rehearsal }))
    else for (const line of rehearsalLines(file, rehearsal, terminal.width)) terminal.print(line)
  }
  if (!options.json) {
    const withdrawn = counts.withdraws === 0 ? '' : `${counts.withdraws} be taken back, `
    terminal.remark(
      quiet(
        `${counts.passes} would pass, ${withdrawn}${counts.refused} refused, ${counts.skipped} left out. Nothing was stored.`,
      ),
    )
    terminal.remark(quiet(CAUTION))
  }
  return counts.refused === 0 ? EXIT.done : EXIT.refused
}
