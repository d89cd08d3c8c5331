import type { Command } from 'commander'
import { blocks, type Issue, issueText } from '../../../core/basics/issue.ts'
import { readJson } from '../../../core/mapping/read-json.ts'
import { operationOutcome } from '../../../core/validation/operation-outcome.ts'
import { validateResource } from '../../../core/validation/validate-resource.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { type RecordPlace, recordsOf, shownPlace } from '../read-records.ts'
import { bad, good, quiet, type Terminal, warn } from '../terminal.ts'

/** `validate`: is this resource what R4 and the blood pressure profiles ask for? */
export function addValidate(program: Command, terminal: Terminal, done: (code: ExitCode) => void): void {
  program
    .command('validate')
    .summary('check FHIR R4 resources: structure, invariants, blood pressure profiles')
    .description(
      'Validates FHIR R4 resources (a JSON resource, an array, or NDJSON) offline, with the same engine that guards ' +
        'what the gateway stores and sends. Every issue is listed with its FHIRPath. Exit code 1 when any resource has an error.',
    )
    .argument('[files...]', 'files of resources; - or none for standard input')
    .option('--json', 'one OperationOutcome a resource, as JSON lines')
    .action(async (files: string[], options: { json?: true }) => {
      done(await validate(files, options.json === true, terminal))
    })
}

async function validate(files: readonly string[], json: boolean, terminal: Terminal): Promise<ExitCode> {
  let resources = 0
  let invalid = 0
  for await (const { text, place } of recordsOf(files, 'resources', terminal)) {
    resources += 1
    const issues = issuesOf(text)
    if (issues.some(blocks)) invalid += 1
    if (json) terminal.print(JSON.stringify(operationOutcome(issues)))
    else for (const shown of verdictLines(place, issues)) terminal.print(shown)
  }
  if (!json)
    terminal.remark(quiet(`${resources} resources checked, ${invalid} with errors. ${VALID_IS_NOT_TRUE}`))
  return invalid === 0 ? EXIT.done : EXIT.refused
}

function issuesOf(text: string): readonly Issue[] {
  const value = readJson(text, { maxDepth: RESOURCE_DEPTH })
  return value.ok ? validateResource(value.value) : value.issues
}

/** Bundles nest deeper than session records do. */
const RESOURCE_DEPTH = 64

function verdictLines(place: RecordPlace, issues: readonly Issue[]): readonly string[] {
  const verdict = issues.some(blocks) ? bad('not valid') : good('valid')
  return [`${verdict}  ${shownPlace(place)}`, ...issues.filter(blocks).map(shown), ...remarks(issues)]
}

function shown(issue: Issue): string {
  const mark = blocks(issue) ? bad(issue.severity) : warn(issue.severity)
  return `  ${mark}  ${issueText(issue)} ${quiet(`[${[issue.code, issue.rule].join(' ').trim()}]`)}`
}

/** Warnings that say the same of many places are told once, with the first place and how many more there are. */
function remarks(issues: readonly Issue[]): readonly string[] {
  const alike = new Map<string, Issue[]>()
  for (const issue of issues) {
    if (blocks(issue)) continue
    const key = [issue.severity, issue.code, issue.rule, issue.expected].join('|')
    alike.set(key, [...(alike.get(key) ?? []), issue])
  }
  return [...alike.values()].flatMap(([first, ...more]) => {
    if (first === undefined) return []
    return more.length === 0
      ? [shown(first)]
      : [`${shown(first)} ${quiet(`and in ${more.length} more places`)}`]
  })
}

const VALID_IS_NOT_TRUE =
  'Valid says that a resource is well formed, not that a measurement is true or a person well.'
