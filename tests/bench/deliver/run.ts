/** One run through everything that is due, as it is asked for. */
export interface Run {
  readonly inFlight: number
  /** How many there are to do. */
  readonly entries: number
  /** A file that the bodies are written to, one a line, in place of being sent. */
  readonly record?: string
}

/** What came of it. */
export interface Ran {
  readonly entries: number
  readonly seconds: number
  /** Of the process, all its threads together. */
  readonly cpuMs: number
  /** Commits in which something was settled. */
  readonly commits: number
}
