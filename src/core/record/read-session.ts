import type { Instant } from '../basics/instant.ts'
import type { PressureUnit } from '../basics/pressure.ts'
import { ok, type Result } from '../basics/result.ts'
import { isBloodPressure } from '../clinical/plausibility/hard-limits.ts'
import type { Conditions, Reading, Session } from '../clinical/session.ts'
import { contradictsSupport } from './arm-support.ts'
import { DOUBTFUL, quickLook } from './quick-look.ts'
import { refuseRecord } from './refuse-record.ts'
import { mostReadings, type ReadingInput, type SessionRecordInput, sessionRecord } from './session-record.ts'
import { readTakenAt } from './taken-at.ts'

/** A session as it was read. */
export interface ReadSession {
  readonly session: Session
  /** The IANA zone that placed a wall time of the record; absent when every time carried its offset. */
  readonly zone?: string
}

/** What is known of the subject beside the record. */
export interface ReadContext {
  /** IANA zone the subject lives in; absent when not enrolled. Used only for times without an offset. */
  readonly zone?: string
}

/**
 * Reads a native session record, or tells every issue with it at once.
 *
 * Values, units and times are kept as they were sent; the session shares nothing with the record. Never throws for
 * any JSON value. An accepted record costs no more than its parts: words for a refusal are looked up when needed.
 *
 * @param record a JSON value, as `readJson` returns it.
 */
export function readSession(record: unknown, context: ReadContext): Result<ReadSession> {
  if (!holdsTooManyReadings(record)) {
    const fitting = fittingRecord(record)
    const session = fitting === undefined ? undefined : sessionOf(fitting, context)
    if (session !== undefined) return ok(session)
  }
  return refuseRecord(record, context)
}

const look = quickLook(sessionRecord)

/** A copy of a record that fits the schema; undefined for any other. */
function fittingRecord(record: unknown): SessionRecordInput | undefined {
  const seen = look(record)
  return seen === DOUBTFUL ? sessionRecord.safeParse(record).data : (seen as SessionRecordInput)
}

/** Asked before anything else, so that a hostile record costs little. */
function holdsTooManyReadings(record: unknown): boolean {
  if (typeof record !== 'object' || record === null || !('readings' in record)) return false
  const most = mostReadings('setting' in record ? record.setting : undefined)
  return Array.isArray(record.readings) && record.readings.length > most
}

/** The session of a record that fits the schema; undefined when its fields together cannot be meant. */
function sessionOf(record: SessionRecordInput, context: ReadContext): ReadSession | undefined {
  const { zone } = context
  const { id, subject, setting, position, arm, site, entry, conditions = {}, device, note } = record
  const { timeFrom, attempts, sleep } = record
  if (!holdTogether(conditions)) return undefined
  if (setting !== 'ambulatory' && (attempts !== undefined || sleep !== undefined)) return undefined
  if (attempts !== undefined && attempts < record.readings.length) return undefined

  const takenAt = readTakenAt(record.takenAt, zone)
  if (typeof takenAt === 'string') return undefined
  let zoneNeeded = takenAt.text !== record.takenAt

  const heard = device?.kind === 'upper-arm-manual'
  const readings: Reading[] = []
  for (const given of record.readings) {
    let at: Instant | undefined
    if (given.takenAt !== undefined) {
      const read = given.takenAt === record.takenAt ? takenAt : readTakenAt(given.takenAt, zone)
      if (typeof read === 'string') return undefined
      zoneNeeded ||= read.text !== given.takenAt
      at = read
    }
    if (!isBloodPressure(given.systolic, given.diastolic, record.unit, heard)) return undefined
    readings.push(readingOf(given, readings.length + 1, record.unit, at))
  }

  let slept: Session['sleep']
  if (sleep !== undefined) {
    const from = readTakenAt(sleep.from, zone)
    const to = readTakenAt(sleep.to, zone)
    if (typeof from === 'string' || typeof to === 'string' || from.epochMs >= to.epochMs) return undefined
    zoneNeeded ||= from.text !== sleep.from || to.text !== sleep.to
    slept = { from, to }
  }

  const session: Mutable<Session> = {
    id,
    subject,
    takenAt,
    setting,
    readings,
    entry,
    conditions,
  }
  if (timeFrom !== undefined) session.timeFrom = timeFrom
  if (position !== undefined) session.position = position
  if (arm !== undefined) session.arm = arm
  if (site !== undefined) session.site = site
  if (device !== undefined) session.device = device
  if (note !== undefined) session.note = note
  if (attempts !== undefined) session.attempts = attempts
  if (slept !== undefined) session.sleep = slept
  return zoneNeeded && zone !== undefined ? { session, zone } : { session }
}

/** Whether the answers about how the person measured can all be meant. */
function holdTogether({ cuffFor, armSupported, armRest }: Conditions): boolean {
  if (cuffFor !== undefined && cuffFor.minCm >= cuffFor.maxCm) return false
  return !contradictsSupport(armSupported, armRest)
}

function readingOf(
  given: ReadingInput,
  ordinal: number,
  unit: PressureUnit,
  takenAt: Instant | undefined,
): Reading {
  const { systolic, diastolic, pulse, monitorSays } = given
  const reading: Mutable<Reading> = {
    ordinal,
    systolic: systolic === null ? null : { value: systolic, unit },
    diastolic: diastolic === null ? null : { value: diastolic, unit },
  }
  if (takenAt !== undefined) reading.takenAt = takenAt
  if (pulse !== undefined) reading.pulse = pulse
  if (monitorSays !== undefined) reading.monitorSays = monitorSays
  return reading
}

type Mutable<T> = { -readonly [key in keyof T]: T[key] }
