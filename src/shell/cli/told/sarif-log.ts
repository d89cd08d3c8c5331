import { pathToFileURL } from 'node:url'
import type { Location, Log, ReportingDescriptor, Result } from 'sarif'
import { ERROR_CODES } from '../../../core/basics/error-codes.ts'
import type { Issue, IssueSeverity } from '../../../core/basics/issue.ts'
import { textPlaceIn } from '../../../core/json-text/text-place.ts'
import type { ExitCode } from '../exit-codes.ts'
import type { IssueLine } from '../files/issue-places.ts'
import type { RecordPlace } from '../files/read-records.ts'
import { STANDARD_INPUT } from '../files/resource-files.ts'

/** Names the form of a log at its top. */
export const SARIF_SCHEMA =
  'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json'

/** Results kept for one log; what comes after is counted, and the log says so. */
const MOST_RESULTS = 100_000

const LEVELS = {
  fatal: 'error',
  error: 'error',
  warning: 'warning',
  information: 'note',
} as const satisfies Record<IssueSeverity, Result.level>

/**
 * Issues as a log that code hosts and editors show beside the lines they are about: a result for each, under the key of
 * the published rule, or under our code where there is none.
 *
 * Source: OASIS, Static Analysis Results Interchange Format (SARIF) 2.1.0.
 */
export class SarifLog {
  readonly #rules = new Map<string, ReportingDescriptor & { readonly index: number }>()
  readonly #results: Result[] = []
  readonly #folder: string
  #leftOut = 0

  /** @param folder absolute path that files are named from; one outside it is named by its whole path. */
  constructor(folder: string) {
    this.#folder = folder
  }

  add(issue: Issue, { file }: RecordPlace, line: IssueLine | undefined): void {
    if (this.#results.length === MOST_RESULTS) {
      this.#leftOut += 1
      return
    }
    const ruleId = issue.rule ?? issue.code
    this.#results.push({
      ruleId,
      ruleIndex: this.#indexOf(ruleId, issue),
      level: LEVELS[issue.severity],
      message: { text: `Expected ${issue.expected}. ${issue.remedy}` },
      locations: [{ ...this.#physical(file, line), ...logical(issue) }],
    })
  }

  /** @param version of this program. */
  log(version: string, exitCode: ExitCode): Log {
    const rules = [...this.#rules.values()].map(({ index: _, ...rule }) => rule)
    return {
      $schema: SARIF_SCHEMA,
      version: '2.1.0',
      runs: [
        {
          tool: { driver: { name: 'home-bp-gateway', semanticVersion: version, rules } },
          columnKind: 'utf16CodeUnits',
          invocations: [{ executionSuccessful: true, exitCode, ...this.#notifications() }],
          results: this.#results,
        },
      ],
    }
  }

  #indexOf(id: string, { code }: Issue): number {
    const known = this.#rules.get(id)
    if (known !== undefined) return known.index
    const [meaning, remedy] = ERROR_CODES[code]
    const index = this.#rules.size
    this.#rules.set(id, { id, index, shortDescription: { text: meaning }, help: { text: remedy } })
    return index
  }

  #physical(file: string, line: IssueLine | undefined): Pick<Location, 'physicalLocation'> {
    if (file === STANDARD_INPUT) return {}
    const region =
      line === undefined
        ? {}
        : {
            region: {
              startLine: line.line,
              ...(line.column === undefined ? {} : { startColumn: line.column }),
            },
          }
    return { physicalLocation: { artifactLocation: { uri: uriOf(file, this.#folder) }, ...region } }
  }

  #notifications() {
    if (this.#leftOut === 0) return {}
    const text = `${this.#leftOut} more results were left out of this log.`
    return { toolExecutionNotifications: [{ level: 'warning' as const, message: { text } }] }
  }
}

/** The element, by its FHIRPath; text that is no JSON has none. */
function logical({ at }: Issue): Pick<Location, 'logicalLocations'> {
  return at === '' || textPlaceIn(at) !== undefined ? {} : { logicalLocations: [{ fullyQualifiedName: at }] }
}

/** A relative URI reference for what lies in the folder, else a file URL. */
function uriOf(file: string, folder: string): string {
  const whole = pathToFileURL(file).href
  const base = `${pathToFileURL(folder).href.replace(/\/$/, '')}/`
  return whole.startsWith(base) ? whole.slice(base.length) : whole
}
