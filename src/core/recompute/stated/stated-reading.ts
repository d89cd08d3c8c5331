import { type Instant, readInstant } from '../../basics/instant.ts'
import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import type { Pressure } from '../../basics/pressure.ts'
import type { Position, Setting } from '../../clinical/session.ts'
import { LOINC, SYSTEM } from '../../fhir/codes.ts'
import { type Found, urlEndsWith } from '../found.ts'
import { hasCode } from './codings.ts'
import { type Limb, statedLimb } from './stated-limb.ts'
import { statedPosition } from './stated-position.ts'
import { statedPressure } from './stated-pressure.ts'

/** One reading as a bundle states it. */
export interface StatedReading {
  readonly found: Found
  /** Undefined only with a problem. */
  readonly takenAt?: Instant
  readonly systolic: Pressure | null
  readonly diastolic: Pressure | null
  readonly pulse?: number
  readonly limb: Limb
  readonly setting?: Setting
  /** Only where it says standing or lying. */
  readonly position?: Position
  readonly enteredInError: boolean
  /** Whether something was noticed about it: a note that is not by a person. */
  readonly noticed: boolean
  /** Why it cannot be averaged, a clause: "its time is known to the day only". */
  readonly problem?: string
}

/** Whether the resource is a reading: the panel, or what has a component of it. */
export function isReading({ resourceType, code, component }: JsonObject): boolean {
  if (resourceType !== 'Observation') return false
  if (hasCode(code, SYSTEM.loinc, LOINC.bloodPressurePanel.code)) return true
  return objectsOf(component).some(
    (one) =>
      hasCode(one.code, SYSTEM.loinc, LOINC.systolic.code) ||
      hasCode(one.code, SYSTEM.loinc, LOINC.diastolic.code),
  )
}

/** Reads an Observation back to the reading it was. Nothing is converted or rounded. */
export function statedReading(found: Found): StatedReading {
  const { value } = found
  const limb = statedLimb(value.bodySite)
  const enteredInError = value.status === 'entered-in-error'
  const noticed = objectsOf(value.note).some(isFinding)
  const setting = settingOf(value)
  const position = statedPosition(value)
  const said = {
    found,
    limb,
    enteredInError,
    noticed,
    ...(setting === undefined ? {} : { setting }),
    ...(position === undefined ? {} : { position }),
  }
  const unreadable = (problem: string): StatedReading => ({
    ...said,
    systolic: null,
    diastolic: null,
    problem,
  })
  if (!isReading(value)) return unreadable('it is not a blood pressure panel')
  if (!STANDS.has(value.status)) return unreadable('its status is not that of a reading that stands')
  const takenAt = instantOfReading(value)
  if (typeof takenAt === 'string') return unreadable(takenAt)
  const systolic = component(value, LOINC.systolic.code)
  const diastolic = component(value, LOINC.diastolic.code)
  if ('problem' in systolic) return unreadable(systolic.problem)
  if ('problem' in diastolic) return unreadable(diastolic.problem)
  const pulse = pulseIn(value)
  return {
    ...said,
    takenAt,
    systolic: systolic.pressure,
    diastolic: diastolic.pressure,
    ...(pulse === undefined ? {} : { pulse }),
  }
}

/** Beats per minute of a pulse Observation; undefined when it holds none that can be used. */
export function statedPulse({ valueQuantity }: JsonObject): number | undefined {
  if (!isJsonObject(valueQuantity)) return undefined
  const { value } = valueQuantity
  return typeof value === 'number' && Number.isInteger(value) && value >= 0 && value < 1000
    ? value
    : undefined
}

/** Source: FHIR R4 4.0.1 observation-status: what is preliminary may be incomplete or not verified. */
const STANDS: ReadonlySet<unknown> = new Set(['final', 'amended', 'corrected', 'entered-in-error'])
const SETTINGS: readonly Setting[] = ['home', 'clinic', 'public-kiosk', 'ambulatory']

/** The time, or why there is none that can be used. */
function instantOfReading({
  effectiveDateTime,
  effectiveInstant,
  effectivePeriod,
}: JsonObject): Instant | string {
  const start = isJsonObject(effectivePeriod) ? effectivePeriod.start : undefined
  const text = effectiveDateTime ?? effectiveInstant ?? start
  if (typeof text !== 'string') return 'it has no time'
  const instant = readInstant(text)
  if (instant !== undefined) return instant
  return /^\d{4}(?:-\d\d){0,2}$/.test(text) ? 'its time is known to the day only' : 'its time cannot be read'
}

function component({ component: all }: JsonObject, code: string) {
  return statedPressure(objectsOf(all).find((one) => hasCode(one.code, SYSTEM.loinc, code))?.valueQuantity)
}

function pulseIn({ component: all }: JsonObject): number | undefined {
  const pulse = objectsOf(all).find((one) => hasCode(one.code, SYSTEM.loinc, LOINC.heartRate.code))
  return pulse === undefined ? undefined : statedPulse(pulse)
}

function settingOf({ extension }: JsonObject): Setting | undefined {
  const stated = objectsOf(extension).find(({ url }) =>
    urlEndsWith(url, 'StructureDefinition/measurement-setting'),
  )?.valueCode
  return SETTINGS.find((one) => one === stated)
}

/** The gateway's findings are notes without an author; a person's words have one. */
function isFinding({ authorReference, authorString }: JsonObject): boolean {
  return authorReference === undefined && authorString === undefined
}
