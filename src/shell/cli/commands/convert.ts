import type { Command } from 'commander'
import type { Bundle, Observation } from 'fhir/r4.js'
import { writeJson } from '../../../core/basics/write-json.ts'
import { CAUTION } from '../../../core/clinical/report/caution.ts'
import { counted } from '../../../core/clinical/report/narrative-words.ts'
import { convertText } from '../../../flow/check/convert-record.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { recordsOf } from '../files/read-records.ts'
import { type Refusal, refusalLines } from '../files/refusals.ts'
import { type PersonOptions, personOptions, readPerson } from '../options/person-options.ts'
import { sourceName } from '../options/source-name.ts'
import { quiet, type Terminal } from '../terminal.ts'

interface ConvertOptions extends PersonOptions {
  readonly source: string
  readonly ndjson?: true
  readonly json?: true
}

/** `convert`: session records in, valid FHIR Observations out. Stores and sends nothing. */
export function addConvert(program: Command, terminal: Terminal, done: (code: ExitCode) => void): void {
  const command = program
    .command('convert')
    .summary('session records in, valid FHIR R4 Observations out')
    .description(
      'Reads session records (JSON, an array, or NDJSON), checks and converts them, and writes a FHIR R4 collection ' +
        'Bundle to standard output. Refused records are listed on standard error, each issue with its place and remedy. ' +
        'Nothing is stored or sent.',
    )
    .argument('[files...]', 'files of session records; - or none for standard input')
    .requiredOption('--source <name>', 'name of the home app or feed; ids are made from it', sourceName)
    .option('--ndjson', 'one Observation a line instead of a Bundle, with flat memory')
    .option('--json', 'one line of JSON: { bundle, refused }')
  personOptions(command).action(async (files: string[], options: ConvertOptions) => {
    done(await convert(files, options, terminal))
  })
}

async function convert(
  files: readonly string[],
  options: ConvertOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const { source, canonicalBase } = options
  const context = { source, canonicalBase, person: readPerson(options), receivedMs: Date.now() }
  const observations: Observation[] = []
  const refused: Refusal[] = []
  let records = 0
  for await (const { read, place } of recordsOf(files, 'records', terminal)) {
    records += 1
    const converted = read.ok ? convertText(read.value, context) : read
    if (!converted.ok) refused.push({ ...place, issues: converted.issues })
    else if (options.ndjson) {
      for (const observation of converted.value.observations) terminal.print(writeJson(observation))
    } else observations.push(...converted.value.observations)
  }

  const bundle = collection(observations, canonicalBase)
  if (options.json) terminal.print(JSON.stringify({ bundle, refused }))
  else {
    if (!options.ndjson) terminal.print(JSON.stringify(bundle, null, 2))
    for (const line of refusalLines(refused)) terminal.remark(line)
    terminal.remark(
      quiet(
        `${records - refused.length} of ${counted(records, 'record')} converted, ${refused.length} refused.`,
      ),
    )
    terminal.remark(quiet(CAUTION))
  }
  return refused.length === 0 ? EXIT.done : EXIT.refused
}

function collection(observations: readonly Observation[], base: string): Bundle {
  return {
    resourceType: 'Bundle',
    type: 'collection',
    // R4 has no empty arrays: nothing converted means no entry at all.
    ...(observations.length === 0
      ? {}
      : {
          entry: observations.map((resource) => ({
            fullUrl: `${base}/Observation/${resource.id}`,
            resource,
          })),
        }),
  }
}
