import { resolve } from 'node:path'
import type { Command } from 'commander'
import type { AuditReport } from '../../../core/audit-report/audit-report.ts'
import { AuditTally } from '../../../core/audit-report/audit-tally.ts'
import type { Issue } from '../../../core/basics/issue.ts'
import { packageVersion } from '../../config/package-root.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { examineFound } from '../files/examine-found.ts'
import { IssuePlaces } from '../files/issue-places.ts'
import { readResources } from '../files/read-resources.ts'
import { type PassedOver, STANDARD_INPUT } from '../files/resource-files.ts'
import { outputFile } from '../options/output-file.ts'
import {
  type Judging,
  type JudgingOptions,
  judgingOptions,
  loadJudging,
} from '../options/validation-options.ts'
import { bad, quiet, type Terminal } from '../terminal.ts'
import { placedOutcome } from '../told/placed-outcome.ts'
import { holdsOtherThanReport, writeReport } from '../told/report-file.ts'
import { SarifLog } from '../told/sarif-log.ts'
import { summarySentences } from '../told/validation-summary.ts'
import { type FailOnOption, failOnOption, verdictCode } from '../told/verdict-code.ts'
import { verdictLines } from '../told/verdict-lines.ts'

interface ValidateOptions extends JudgingOptions, FailOnOption {
  readonly json?: true
  readonly sarif?: string
}

/** `validate`: is each resource what R4 and the profiles ask for, and does each average follow from its readings? */
export function addValidate(program: Command, terminal: Terminal, done: (code: ExitCode) => void): void {
  const command = program
    .command('validate')
    .summary('check FHIR R4 resources: structure, invariants, profiles, codes, references, averages')
    .description(
      'Validates FHIR R4 resources (a JSON resource, a Bundle, an array, NDJSON, folders of them) offline, with the ' +
        'engine behind $validate and report, and works each average out again from its readings. Every issue is ' +
        'listed with its FHIRPath and line. Exit code 1 when a resource is not valid or none was found, and by --fail-on for less.',
    )
    .argument('[paths...]', 'files and folders of resources; - or none for standard input')
    .option('--json', 'one OperationOutcome a resource, as JSON lines, with file and lines as extensions')
    .option('--sarif <file>', 'write the issues as a SARIF 2.1.0 log, for code hosts and editors', outputFile)
  failOnOption(judgingOptions(command)).action(async (paths: string[], options: ValidateOptions) => {
    done(await validate(paths, options, terminal))
  })
}

async function validate(
  paths: readonly string[],
  options: ValidateOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const { sarif: sarifFile } = options
  if (sarifFile !== undefined && holdsOtherThanReport(sarifFile)) {
    terminal.remark(
      `${bad('usage')}  --sarif: ${sarifFile} holds something other than a log: name another file`,
    )
    return EXIT.usage
  }
  const judging = loadJudging(options, terminal)
  if (judging === undefined) return EXIT.usage
  const sarif = new SarifLog(process.cwd())
  const told = await judgeAll(paths, judging, options, terminal, sarif)
  const code = verdictCode(told, options)
  if (sarifFile !== undefined) {
    writeReport(sarifFile, `${JSON.stringify(sarif.log(packageVersion(), code), null, 2)}\n`)
    terminal.remark(quiet(`written  ${sarifFile}`))
  }
  for (const sentence of [...summarySentences(told), VALID_IS_NOT_TRUE]) terminal.remark(quiet(sentence))
  return code
}

/** Judges each resource, prints its verdict, logs its issues, and tells what came of them all. */
async function judgeAll(
  paths: readonly string[],
  judging: Judging,
  options: ValidateOptions,
  terminal: Terminal,
  sarif: SarifLog,
): Promise<AuditReport> {
  const tally = new AuditTally()
  const lines = new IssuePlaces()
  const empty: string[] = []
  let skipped = 0
  let read = 0
  const passedOver: PassedOver = {
    skipped: () => {
      skipped += 1
    },
    empty: (path) => empty.push(path),
  }
  for await (const found of readResources(paths, process.stdin, passedOver)) {
    const { place } = found
    // A log that was written into the folder before is no resource of it.
    if (options.sarif !== undefined && resolve(place.file) === resolve(options.sarif)) continue
    const examined = examineFound(found, judging)
    const { issues } = examined
    const lineOf = (issue: Issue) => lines.of(place, issue)
    tally.add(examined)
    if (options.json)
      terminal.print(JSON.stringify(placedOutcome(issues, place, lineOf, options.canonicalBase)))
    else for (const line of verdictLines(place, issues, lineOf)) terminal.print(line)
    if (options.sarif !== undefined) for (const issue of issues) sarif.add(issue, place, lineOf(issue))
    read += 1
    if (read % TOLD_EVERY === 0) terminal.progress(`${read} resources examined`)
  }
  return tally.report({
    version: packageVersion(),
    at: new Date().toISOString(),
    paths: paths.length === 0 ? [STANDARD_INPUT] : paths,
    skipped,
    empty,
    asked: options.profile,
    knownProfiles: judging.catalogue.profiles.urls.size,
  })
}

const TOLD_EVERY = 1000

const VALID_IS_NOT_TRUE =
  'Valid says that a resource is well formed, not that a measurement is true or a person well.'
