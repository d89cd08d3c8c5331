import { resolve } from 'node:path'
import type { Command } from 'commander'
import { AuditTally } from '../../../core/audit-report/audit-tally.ts'
import { auditReportPage } from '../../pages/audit-report-page.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { examineFound } from '../files/examine-found.ts'
import { readResources } from '../files/read-resources.ts'
import type { PassedOver } from '../files/resource-files.ts'
import { outputFile } from '../options/output-file.ts'
import { type JudgingOptions, judgingOptions, loadJudging } from '../options/validation-options.ts'
import { bad, quiet, type Terminal } from '../terminal.ts'
import { auditReportLines } from '../told/audit-report-lines.ts'
import { holdsOtherThanReport, writeReport } from '../told/report-file.ts'
import { type FailOnOption, failOnOption, verdictCode } from '../told/verdict-code.ts'

interface ReportOptions extends JudgingOptions, FailOnOption {
  readonly html?: string
  /** A file, or `true` for standard output. */
  readonly json?: string | true
}

/** `report`: what an auditor is told about a folder, a bundle or a feed. Reads only; sends nothing. */
export function addReport(
  program: Command,
  terminal: Terminal,
  version: string,
  done: (code: ExitCode) => void,
): void {
  const command = program
    .command('report')
    .summary('an auditor’s report over files and folders: verdicts by rule, averages worked out again')
    .description(
      'Validates every FHIR R4 resource of files (a JSON resource, a Bundle, an array, NDJSON) and folders offline, ' +
        'works each average out again from its readings, and reports what came of it by rule and place, with the ' +
        'sources. Holds no names and no ids. Exit code 1 when a resource is not valid or ' +
        'none was found, and by --fail-on for less.',
    )
    .argument('[paths...]', 'files and folders of resources; - or none for standard input')
    .option('--html <file>', 'write the report as a page', outputFile)
    .option('--json [file]', 'write the report as JSON, to standard output when no file is named', outputFile)
  failOnOption(judgingOptions(command)).action(async (paths: string[], options: ReportOptions) => {
    done(await report(paths, options, version, terminal))
  })
}

async function report(
  paths: readonly string[],
  options: ReportOptions,
  version: string,
  terminal: Terminal,
): Promise<ExitCode> {
  const outputs = [options.html, options.json].filter((file) => typeof file === 'string')
  const taken = outputs.find(holdsOtherThanReport)
  if (taken !== undefined) {
    terminal.remark(`${bad('usage')}  ${taken} holds something other than a report: name another file`)
    return EXIT.usage
  }
  const judging = loadJudging(options, terminal)
  if (judging === undefined) return EXIT.usage

  const tally = new AuditTally()
  const empty: string[] = []
  let skipped = 0
  let read = 0
  const ourOwn = new Set(outputs.map((file) => resolve(file)))
  const passedOver: PassedOver = {
    skipped: () => {
      skipped += 1
    },
    empty: (path) => empty.push(path),
  }
  for await (const found of readResources(paths, process.stdin, passedOver)) {
    // A report that was written into the folder before is no resource of it.
    if (ourOwn.has(resolve(found.place.file))) continue
    tally.add(examineFound(found, judging))
    read += 1
    if (read % TOLD_EVERY === 0) terminal.progress(`${read} resources examined`)
  }

  const made = tally.report({
    version,
    at: new Date().toISOString(),
    paths: paths.length === 0 ? ['-'] : paths,
    skipped,
    empty,
    asked: options.profile,
    knownProfiles: judging.catalogue.profiles.urls.size,
  })
  if (options.html !== undefined) writeReport(options.html, await auditReportPage(made))
  if (typeof options.json === 'string') writeReport(options.json, `${JSON.stringify(made, null, 2)}\n`)
  if (options.json === true) terminal.print(JSON.stringify(made))
  if (outputs.length === 0 && options.json === undefined)
    for (const line of auditReportLines(made, terminal.width)) terminal.print(line)
  for (const file of outputs) terminal.remark(quiet(`written  ${file}`))
  return verdictCode(made, options)
}

const TOLD_EVERY = 1000
