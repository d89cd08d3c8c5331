import { microPascals } from '../../core/basics/pressure.ts'
import { readTakenAt } from '../../core/mapping/taken-at.ts'

/** A reading as the patient-ordered table holds it. */
export interface PlacedReading {
  readonly takenMs: number
  /** 1-based place in the sitting; 0 for a record whose readings cannot be told. */
  readonly ordinal: number
  readonly systolicMicroPascals: number | null
  readonly diastolicMicroPascals: number | null
  readonly pulse: number | null
}

/**
 * The readings of a kept record, placed in time.
 *
 * The record was checked before it was kept, so this looks only at what it needs and never refuses: a reading whose
 * own time is absent stands at the sitting's, and a record whose readings cannot be told stands there as one row
 * without values, so that it is still found.
 *
 * @param raw the record as it was received, JSON text.
 * @param takenMs epoch milliseconds of the sitting.
 * @param zone IANA zone of wall-clock times in it.
 */
export function placedReadings(raw: string, takenMs: number, zone?: string): readonly PlacedReading[] {
  const record: unknown = JSON.parse(raw)
  const readings = isObject(record) && Array.isArray(record.readings) ? record.readings : []
  const unit = isObject(record) ? record.unit : undefined
  if (readings.length === 0) {
    return [{ takenMs, ordinal: 0, systolicMicroPascals: null, diastolicMicroPascals: null, pulse: null }]
  }
  return readings.map((reading: unknown, index) => {
    const said = isObject(reading) ? reading : {}
    return {
      takenMs: timeOf(said.takenAt, zone) ?? takenMs,
      ordinal: index + 1,
      systolicMicroPascals: pressure(said.systolic, unit),
      diastolicMicroPascals: pressure(said.diastolic, unit),
      pulse: typeof said.pulse === 'number' ? said.pulse : null,
    }
  })
}

function timeOf(text: unknown, zone: string | undefined): number | undefined {
  if (typeof text !== 'string') return undefined
  const taken = readTakenAt(text, zone)
  return typeof taken === 'string' ? undefined : taken.epochMs
}

function pressure(value: unknown, unit: unknown): number | null {
  if (typeof value !== 'number' || (unit !== 'mmHg' && unit !== 'kPa')) return null
  return microPascals({ value, unit })
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}
