import { isJsonObject } from '../../../core/basics/json-object.ts'
import { positionMarks } from '../../../core/clinical/averaging/body-position.ts'
import { limbMarks } from '../../../core/clinical/averaging/limb-groups.ts'
import { MARK } from '../../../core/clinical/averaging/reading-columns.ts'
import { readTakenAt } from '../../../core/record/taken-at.ts'

/** A sitting placed in time, with what choosing and averaging its readings needs. */
export interface PlacedSitting {
  /** Epoch milliseconds of the sitting itself. */
  readonly takenMs: number
  /** Span of its readings, ends included; the sitting's own time where there are none. */
  readonly firstMs: number
  readonly lastMs: number
  /** Bits of `MARK` that hold for every reading. */
  readonly marks: number
  readonly unit: 'mmHg' | 'kPa'
  readonly positionStated: boolean
  /** In the order of the record. */
  readonly readings: readonly ReadingSteps[]
}

export interface ReadingSteps {
  readonly takenMs: number
  /** Whether the time is its own, and not the sitting's. */
  readonly ownTime: boolean
  /** Tenths of a mmHg or thousandths of a kPa: the finest step a source may give, so nothing is rounded. */
  readonly systolic: number | null
  readonly diastolic: number | null
  /** Beats per minute. */
  readonly pulse: number | null
  readonly irregular: boolean
}

/**
 * The readings of a kept record, placed in time.
 *
 * The record was checked before it was kept, so this looks only at what it needs and never refuses: a reading whose
 * own time is absent stands at the sitting's, and a record whose readings cannot be told stands there without any, so
 * that it is still found.
 *
 * @param raw the record as it was received, JSON text.
 * @param takenMs epoch milliseconds of the sitting.
 * @param zone IANA zone of wall-clock times in it.
 */
export function placedSitting(
  raw: string,
  takenMs: number,
  zone: string | null,
  withdrawn = false,
): PlacedSitting {
  const parsed: unknown = JSON.parse(raw)
  const record = isJsonObject(parsed) ? parsed : {}
  const unit = record.unit === 'kPa' ? 'kPa' : 'mmHg'
  const said = Array.isArray(record.readings) ? record.readings : []
  let firstMs = Number.POSITIVE_INFINITY
  let lastMs = Number.NEGATIVE_INFINITY
  const readings = said.map((reading: unknown) => {
    const steps = readingSteps(isJsonObject(reading) ? reading : {}, takenMs, zone, unit)
    firstMs = Math.min(firstMs, steps.takenMs)
    lastMs = Math.max(lastMs, steps.takenMs)
    return steps
  })
  return {
    takenMs,
    firstMs: readings.length === 0 ? takenMs : firstMs,
    lastMs: readings.length === 0 ? takenMs : lastMs,
    marks: marksOf(record, withdrawn),
    unit,
    positionStated: typeof record.position === 'string',
    readings,
  }
}

function readingSteps(
  said: Record<string, unknown>,
  sittingMs: number,
  zone: string | null,
  unit: PlacedSitting['unit'],
): ReadingSteps {
  const own = timeOf(said.takenAt, zone)
  const stepsPerUnit = unit === 'mmHg' ? 10 : 1000
  return {
    takenMs: own ?? sittingMs,
    ownTime: own !== undefined,
    systolic: stepsOf(said.systolic, stepsPerUnit),
    diastolic: stepsOf(said.diastolic, stepsPerUnit),
    pulse: stepsOf(said.pulse, 1),
    irregular: isJsonObject(said.monitorSays) && said.monitorSays.irregularPulse === true,
  }
}

function stepsOf(value: unknown, stepsPerUnit: number): number | null {
  return typeof value === 'number' && value >= 0 ? Math.round(value * stepsPerUnit) : null
}

const SETTING_MARKS: Readonly<Record<string, number>> = {
  clinic: MARK.clinic,
  'public-kiosk': MARK.publicKiosk,
  ambulatory: MARK.ambulatory,
}

function marksOf({ setting, position, arm, site }: Record<string, unknown>, withdrawn: boolean): number {
  return (
    ((typeof setting === 'string' && SETTING_MARKS[setting]) || 0) |
    limbMarks({
      ...(arm === 'left' || arm === 'right' ? { arm } : {}),
      ...(site === 'upper-arm' || site === 'wrist' ? { site } : {}),
    }) |
    (position === 'standing' || position === 'lying' ? positionMarks(position) : 0) |
    (withdrawn ? MARK.withdrawn : 0)
  )
}

function timeOf(text: unknown, zone: string | null): number | undefined {
  if (typeof text !== 'string') return undefined
  const taken = readTakenAt(text, zone ?? undefined)
  return typeof taken === 'string' ? undefined : taken.epochMs
}
