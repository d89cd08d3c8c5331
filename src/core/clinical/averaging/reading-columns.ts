/**
 * One person's readings as parallel columns: the form in which the rules of a protocol are applied, alike for one
 * average with all its words and for a sweep over everyone.
 *
 * Rows are in time order, ties by session id, then by source, then by place in the sitting. The arrays may be longer than
 * `rows`.
 */
export interface ReadingColumns {
  rows: number
  /** Epoch milliseconds. */
  takenMs: Float64Array
  /** Number of the sitting a row belongs to, from 0, in order of the sitting's own time, ties as those of rows. */
  sitting: Int32Array
  /** 1-based place in the sitting. */
  ordinal: Int32Array
  /** Micropascals; NaN where the monitor gave none. */
  systolic: Float64Array
  diastolic: Float64Array
  /** Beats per minute; NaN where there is none. */
  pulse: Float64Array
  /** Bits of `MARK`. */
  marks: Int32Array
  /** Absent where all rows came through one source. */
  origins?: RowOrigins
}

/** Where each row came from. */
export interface RowOrigins {
  /** Number of its source. */
  readonly source: Int32Array
  /** Of two rows that are one reading, sent through two sources, the one with the lower number here stands. */
  readonly precedence: Int32Array
  /** Number of the serial of its monitor; 0 where none is stated. */
  readonly serial: Int32Array
}

/**
 * What is known of a row beside its numbers. A home reading on the left upper arm with its own time has none. The bits
 * 256, 1024 and 8192 are left to the packed form of the store.
 */
export const MARK = {
  clinic: 1,
  publicKiosk: 2,
  ambulatory: 4,
  rightArm: 8,
  wrist: 16,
  withdrawn: 32,
  /** The record gave no time for this reading; the sitting's stands for it. */
  sittingTime: 64,
  /** The clinic's policy leaves it out for one of its findings. Only where findings are known. */
  excludedByPolicy: 128,
  /** The record did not state the arm: neither left nor right. */
  armNotStated: 2048,
  /** The record did not state the site: neither upper arm nor wrist. */
  siteNotStated: 4096,
  /** How the person is said to have been; a record that says neither may have said sitting, or nothing. */
  standing: 512,
  lying: 16_384,
} as const
