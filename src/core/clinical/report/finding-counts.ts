import { FINDING_CODES, type FindingCode } from '../finding.ts'

/** A finding, and how many readings it concerns. */
export interface FindingCount {
  readonly finding: FindingCode
  readonly readings: number
}

/**
 * The most frequent first, and those that are equally frequent in the order in which findings are listed.
 *
 * @param ofReadings the findings of each reading, each code once.
 */
export function findingCounts(ofReadings: readonly (readonly FindingCode[])[]): readonly FindingCount[] {
  const codes = ofReadings.flat()
  const counts = FINDING_CODES.map((finding) => ({
    finding,
    readings: codes.filter((code) => code === finding).length,
  }))
  return counts.filter(({ readings }) => readings > 0).sort((a, b) => b.readings - a.readings)
}
