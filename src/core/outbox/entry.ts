/** One thing the clinic's server must come to hold. The outbox owns it until the destination has it. */
export interface OutboxEntry {
  /** Rises in the order of acceptance; a patient's entries are delivered in this order. */
  readonly id: number
  readonly destination: string
  readonly source: string
  readonly subject: string
  readonly kind: 'session' | 'average' | 'attention'
  /** Which of several about the same thing: the revision of an average, the code of a call for attention. */
  readonly part?: string
  /** Taken ahead of everything that is not. */
  readonly urgent: boolean
  /** Session UUID or period UUID. */
  readonly about: string
  readonly state: OutboxState
  /** Times it was tried. */
  readonly attempts: number
  /** Not before this moment, epoch ms. */
  readonly dueMs: number
  /** Code of the last answer that was not a success; holds no health data. */
  readonly lastProblem?: string
}

/** waiting -> claimed -> settled, or back to waiting after a failure, or given-up: kept and shown, never dropped. */
export type OutboxState = 'waiting' | 'claimed' | 'settled' | 'given-up'

/** What an attempt came to. */
export type Settlement =
  | { readonly state: 'settled'; readonly created: number; readonly alreadyThere: number }
  | { readonly state: 'waiting'; readonly dueMs: number; readonly problem: string }
  | { readonly state: 'given-up'; readonly problem: string }
