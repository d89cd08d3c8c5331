/** From low to high, in the unit of what it belongs to. */
export interface Interval {
  readonly low: number
  readonly high: number
}
