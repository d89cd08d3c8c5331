import type { ReadingCheck, SittingCheck } from '../check.ts'
import { CLOCK_TOLERANCE_MS } from './limits.ts'
import type { PlausibilityContext } from './plausibility-context.ts'
import { plausibilityFinding } from './plausibility-finding.ts'

/** Said once for the sitting: a monitor without a clock stamps none of its readings. */
export const timeOfReceipt: SittingCheck<PlausibilityContext> = ({ timeFrom }) =>
  timeFrom === 'receipt'
    ? plausibilityFinding(
        'time-of-receipt',
        'The monitor had no clock, so the time stated is when the app received the reading and not when it was taken; it is kept as sent.',
      )
    : undefined

export const sittingInFuture: SittingCheck<PlausibilityContext> = (session, { nowMs }) =>
  session.takenAt.epochMs > nowMs + CLOCK_TOLERANCE_MS.ahead
    ? plausibilityFinding(
        'time-in-future',
        'The sitting is dated more than 5 min ahead of the gateway’s clock; its time is kept as sent, and the clock of the monitor or phone should be checked.',
      )
    : undefined

/** Silent when the whole sitting is in the future: that is said once. */
export const readingInFuture: ReadingCheck<PlausibilityContext> = (reading, _earlier, session, { nowMs }) => {
  if (reading.takenAt === undefined) return undefined
  const latestMs = nowMs + CLOCK_TOLERANCE_MS.ahead
  if (reading.takenAt.epochMs <= latestMs || session.takenAt.epochMs > latestMs) return undefined
  return plausibilityFinding(
    'time-in-future',
    `Reading ${reading.ordinal} is dated more than 5 min ahead of the gateway’s clock; its time is kept as sent, and the clock of the monitor should be checked.`,
    reading.ordinal,
  )
}

/** A reading before the one that precedes it, or outside its sitting. One finding a reading, whichever applies first. */
export const readingOrder: ReadingCheck<PlausibilityContext> = (reading, earlier, session) => {
  if (reading.takenAt === undefined) return undefined
  const atMs = reading.takenAt.epochMs
  if (earlier?.takenAt !== undefined && atMs < earlier.takenAt.epochMs)
    return outOfOrder(reading.ordinal, `is dated before reading ${earlier.ordinal}`)
  const intoSittingMs = atMs - session.takenAt.epochMs
  if (intoSittingMs < -CLOCK_TOLERANCE_MS.beforeSitting)
    return outOfOrder(reading.ordinal, 'is dated more than 1 min before its sitting')
  return session.setting === 'ambulatory'
    ? afterItsRecording(reading.ordinal, intoSittingMs)
    : afterItsSitting(reading.ordinal, intoSittingMs)
}

function afterItsSitting(ordinal: number, intoSittingMs: number) {
  if (intoSittingMs <= CLOCK_TOLERANCE_MS.afterSitting) return undefined
  return outOfOrder(ordinal, 'is dated more than 60 min after the start of its sitting')
}

function afterItsRecording(ordinal: number, intoRecordingMs: number) {
  if (intoRecordingMs <= CLOCK_TOLERANCE_MS.afterRecordingBegan) return undefined
  return outOfOrder(ordinal, 'is dated more than 49 h after the start of its recording')
}

function outOfOrder(ordinal: number, what: string) {
  return plausibilityFinding(
    'readings-out-of-order',
    `Reading ${ordinal} ${what}; its time is kept as sent, and the order of the readings should be checked at the source.`,
    ordinal,
  )
}
