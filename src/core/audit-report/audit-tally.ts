import { groupedBy } from '../basics/grouped-by.ts'
import { blocks, type Issue } from '../basics/issue.ts'
import { LIMITS } from '../validation/limits.ts'
import {
  AUDIT_REPORT_FORMAT,
  type AuditReport,
  type ReadAccount,
  type TypeVerdicts,
  type Verdict,
  type VerdictCounts,
} from './audit-report.ts'
import { AverageTally } from './average-tally.ts'
import type { ExaminedResource } from './examined-resource.ts'
import { REPORT_CAUTIONS, REPORT_NOTICE } from './report-cautions.ts'
import { ownerOf, resourcePlaces } from './resource-places.ts'
import { RuleTally } from './rule-tally.ts'
import { STANDARDS_CITED } from './standards-cited.ts'
import { withoutFigures } from './without-figures.ts'

/** Of a resource in a bundle whose errors are not all listed, only that it is invalid can be known. */
type OwnVerdict = Verdict | 'notTold'

/** What a report is told besides the resources. */
export interface ReportContext {
  readonly version: string
  /** When the report is made, RFC 3339. */
  readonly at: string
  readonly paths: readonly string[]
  /** Files of the folders that were not read. */
  readonly skipped: number
  /** Files and folders that hold no resource. */
  readonly empty: readonly string[]
  /** Canonical URLs every resource was held to. */
  readonly asked: readonly string[]
  /** How many profiles were known. */
  readonly knownProfiles: number
}

/**
 * Takes examined resources one by one and keeps what a report says of them: its memory grows with the rules broken and
 * the averages that differ, not with the resources.
 */
export class AuditTally {
  readonly #files = new Set<string>()
  readonly #verdicts = noVerdicts()
  readonly #types = new Map<string, Record<OwnVerdict, number>>()
  readonly #rules = new RuleTally()
  readonly #averages = new AverageTally()
  #handedOver = 0
  #unreadable = 0
  #cutShort = 0

  add(examined: ExaminedResource): void {
    const { place, resource, recomputed } = examined
    const issues = withoutFigures(examined.issues)
    const places = resourcePlaces(resource)
    this.#files.add(place.file)
    this.#handedOver += 1
    this.#verdicts[verdictOf(issues)] += 1
    if (resource === undefined) this.#unreadable += 1
    else this.#addTypes(issues, places)
    if (issues.some(saysThereAreMore)) this.#cutShort += 1
    this.#rules.add(issues, place, (at) => ownerOf(at, places))
    this.#averages.add(recomputed, place)
  }

  get verdicts(): VerdictCounts {
    return { ...this.#verdicts }
  }

  report(context: ReportContext): AuditReport {
    return {
      format: AUDIT_REPORT_FORMAT,
      notice: REPORT_NOTICE,
      cautions: REPORT_CAUTIONS,
      made: { by: 'home-bp-gateway', version: context.version, at: context.at },
      read: this.#account(context),
      verdicts: this.verdicts,
      types: this.#typeVerdicts(),
      rules: this.#rules.verdicts(),
      averages: this.#averages.verdicts(),
      profiles: { asked: context.asked, known: context.knownProfiles },
      notEnforced: this.#rules.notEnforced(),
      sources: { standards: STANDARDS_CITED, averages: this.#averages.sources() },
    }
  }

  #addTypes(issues: readonly Issue[], places: ReadonlyMap<string, string>): void {
    const byOwner = groupedBy(issues, ({ at }) => ownerOf(at, places))
    const someNotTold = issues.filter(blocks).length >= LIMITS.issues && issues.some(saysThereAreMore)
    for (const [at, type] of places) {
      const counts = this.#types.get(type) ?? { ...noVerdicts(), notTold: 0 }
      const verdict = verdictOf(byOwner.get(at) ?? [])
      counts[someNotTold && verdict !== 'invalid' ? 'notTold' : verdict] += 1
      this.#types.set(type, counts)
    }
  }

  #account({ paths, skipped, empty }: ReportContext): ReadAccount {
    return {
      paths,
      files: this.#files.size,
      skipped,
      empty,
      handedOver: this.#handedOver,
      unreadable: this.#unreadable,
      cutShort: this.#cutShort,
    }
  }

  #typeVerdicts(): readonly TypeVerdicts[] {
    return [...this.#types]
      .map(([type, counts]) => ({
        type,
        resources: counts.valid + counts.validWithRemarks + counts.invalid + counts.notTold,
        ...counts,
      }))
      .sort((a, b) => b.resources - a.resources || (a.type < b.type ? -1 : 1))
  }
}

/** The report on resources that are all at hand. */
export function auditReport(examined: Iterable<ExaminedResource>, context: ReportContext): AuditReport {
  const tally = new AuditTally()
  for (const one of examined) tally.add(one)
  return tally.report(context)
}

function noVerdicts(): Record<Verdict, number> {
  return { valid: 0, validWithRemarks: 0, invalid: 0 }
}

function verdictOf(issues: readonly Issue[]): Verdict {
  if (issues.length === 0) return 'valid'
  return issues.some(blocks) ? 'invalid' : 'validWithRemarks'
}

/** The validator's own remark that it lists no more. */
function saysThereAreMore({ code, severity }: Issue): boolean {
  return code === 'TOO_MANY' && severity === 'information'
}
