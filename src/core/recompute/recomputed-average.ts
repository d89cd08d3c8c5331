/** What came of working an average out again from the readings it says it was derived from. */
export interface RecomputedAverage {
  /** FHIRPath of the average: `Bundle.entry[12].resource`. */
  readonly at: string
  readonly verdict: 'agrees' | 'differs' | 'not-recomputable'
  /** Id of the protocol it was worked out by, where one was stated and is known. */
  readonly protocol?: string
  /** Each statement of the average that its readings do not bear out; empty unless the verdict is `differs`. */
  readonly differences: readonly AverageDifference[]
  /** Why it, or the rest of it where something differs already, could not be recomputed, as a sentence. */
  readonly reason?: string
  /** It was entered in error: then there is nothing to work out. Absent for all else. */
  readonly takenBack?: true
  /** What the bundle does not say and had to be taken for granted, a sentence each; absent when nothing had to. */
  readonly assumed?: readonly string[]
  /** How many readings were found in the bundle. */
  readonly readings: number
  /** Citations of the protocol and threshold sets it was worked out by. */
  readonly sources: readonly string[]
}

/** One statement of an average beside what its readings give. Both are measured values: for the reader, never a log. */
export interface AverageDifference {
  /** In words: "mean systolic", "number of readings". */
  readonly what: string
  /** FHIRPath of the statement. */
  readonly at: string
  readonly expected: string
  readonly found: string
}
