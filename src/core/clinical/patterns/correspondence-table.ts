import type { CorrespondenceRow } from './clinic-comparison.ts'

/**
 * Values that correspond to each other at the clinic, at home and over a recording, from the lowest row to the highest.
 * Source: ACC/AHA 2017, reprinted unchanged as table 7 of AHA/ACC 2025. Rows stand as printed: nothing is read between
 * them, and they do not mix with NICE, which draws home and ambulatory 5 below the clinic (160/100 goes with 150/95
 * there, and with 145/90 here).
 */
export const CORRESPONDENCE_TABLE: readonly CorrespondenceRow[] = [
  row([120, 80], [120, 80], [120, 80], [100, 65], [115, 75]),
  row([130, 80], [130, 80], [130, 80], [110, 65], [125, 75]),
  row([140, 90], [135, 85], [135, 85], [120, 70], [130, 80]),
  row([160, 100], [145, 90], [145, 90], [140, 85], [145, 90]),
]

type Pair = CorrespondenceRow['office']

function row(office: Pair, home: Pair, day: Pair, night: Pair, twentyFourHours: Pair): CorrespondenceRow {
  return { citation: 'acc-aha-2017-correspondence', office, home, day, night, twentyFourHours }
}
