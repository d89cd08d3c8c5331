/**
 * Outside these a value is kept and marked, never refused: what cannot be a measurement at all is refused earlier,
 * when the record is read. Each pair is the least and the most that goes unmarked.
 *
 * Where to draw each line is a local choice. It rests on what surveys observed (NHANES 2001-02: systolic 70 to 266,
 * pulse 32 to 136; NHANES 2009-12: systolic 72 to 238, diastolic up to 134), on pressures measured inside the
 * artery under heavy effort (MacDougall 1985, doi:10.1152/jappl.1985.58.3.785), and on the edits of ambulatory
 * registries (systolic 70 to 260, diastolic 40 to 150, pulse pressure 20 to 150), which are from memory, not re-read.
 */
export const PLAUSIBLE = {
  systolicMmHg: [70, 250],
  diastolicMmHg: [40, 150],
  /** Systolic less diastolic. */
  pulsePressureMmHg: [20, 150],
  /** Beats per minute. */
  pulse: [30, 200],
} as const satisfies Record<string, readonly [least: number, most: number]>

const MS_PER_MINUTE = 60_000

/** How far times may differ before they are marked. Local choice: no published source. */
export const CLOCK_TOLERANCE_MS = {
  /** A sitting or reading ahead of the gateway's clock. */
  ahead: 5 * MS_PER_MINUTE,
  /** A reading before the start of its sitting: the phone that stamps a sitting lags the monitor. */
  beforeSitting: MS_PER_MINUTE,
  /** A reading after the start of its sitting. */
  afterSitting: 60 * MS_PER_MINUTE,
  /** The same in a 24-hour recording: two days and nights, the longest that is worn, and an hour. */
  afterRecordingBegan: 49 * 60 * MS_PER_MINUTE,
} as const
