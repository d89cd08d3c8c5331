import type { CitationId } from '../citations.ts'
import type { Finding, PlausibilityCode } from '../finding.ts'

const CITATION_OF: Readonly<Record<PlausibilityCode, CitationId>> = {
  'pressure-missing': 'fhir-r4-bp',
  'systolic-doubtful': 'plausibility-layers',
  'diastolic-doubtful': 'plausibility-layers',
  'diastolic-zero': 'nhanes-zero',
  'not-whole-mmhg': 'whole-mmhg',
  'pulse-pressure-doubtful': 'plausibility-layers',
  'pulse-doubtful': 'plausibility-layers',
  'time-in-future': 'clock-tolerance',
  'time-of-receipt': 'common-practice',
  'readings-out-of-order': 'clock-tolerance',
}

/** Those that raise no doubt about the numbers. */
const INFORMATION: ReadonlySet<PlausibilityCode> = new Set(['time-of-receipt'])

/**
 * A mark that something is doubtful; which way it is off cannot be known.
 *
 * @param reading 1-based, when it concerns one reading.
 */
export function plausibilityFinding(code: PlausibilityCode, text: string, reading?: number): Finding {
  return {
    code,
    kind: 'plausibility',
    severity: INFORMATION.has(code) ? 'information' : 'warning',
    ...(reading === undefined ? {} : { reading }),
    direction: 'unknown',
    text,
    citation: CITATION_OF[code],
  }
}
