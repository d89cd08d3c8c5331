/** What a plausibility check may know beside the session. */
export interface PlausibilityContext {
  /** The gateway's clock when the session was received, epoch milliseconds. */
  readonly nowMs: number
}
