import type { JsonObject } from '../../basics/json-object.ts'
import { LOINC, SYSTEM } from '../../fhir/codes.ts'
import type { BundleScope } from '../bundle-scope.ts'
import { type Found, foundIn } from '../found.ts'
import { hasCode } from '../stated/codings.ts'
import { isReading, type StatedReading, statedPulse, statedReading } from '../stated/stated-reading.ts'
import { type SittingPlace, sittingPlaces } from './sitting-places.ts'
import { Subjects } from './subjects.ts'

/** A reading whose time is known, as all but a problem have. */
export type TimedReading = StatedReading & { readonly takenAt: NonNullable<StatedReading['takenAt']> }

/** The readings of one bundle. Each is read once, however many averages derive from it. */
export class BundleReadings {
  /** Whose each of them is. */
  readonly subjects: Subjects
  readonly #scope: BundleScope
  readonly #read = new Map<JsonObject, StatedReading>()
  readonly #bySubject = new Map<string, TimedReading[]>()
  readonly #pulses = new Map<string, number | undefined>()
  readonly #places: ReadonlyMap<JsonObject, SittingPlace>

  constructor(scope: BundleScope) {
    this.#scope = scope
    this.subjects = new Subjects(scope)
    this.#places = sittingPlaces(scope)
    for (const entry of scope.entries) this.#enterPulse(entry)
    for (const entry of scope.entries) {
      if (isReading(entry.value)) this.#enterReading(this.reading(entry))
    }
    for (const readings of this.#bySubject.values())
      readings.sort((a, b) => a.takenAt.epochMs - b.takenAt.epochMs)
  }

  reading(found: Found): StatedReading {
    let known = this.#read.get(found.value)
    if (known === undefined) {
      known = this.#withPulse(statedReading(found))
      this.#read.set(found.value, known)
    }
    return known
  }

  /** Which sitting a reading belongs to, where the bundle says. */
  placeOf(reading: StatedReading): SittingPlace | undefined {
    return this.#places.get(reading.found.value)
  }

  /** The serial of the monitor a reading was taken with, where the bundle says. */
  serialOf({ found }: StatedReading): string | undefined {
    const serial = this.#scope.resolve(found.value.device, found)?.value.serialNumber
    return typeof serial === 'string' ? serial : undefined
  }

  /** Readings that stand, of the patient a resource is of, from an instant to another, in order of time. */
  ofPatientOf(resource: Found, fromMs: number, toMs: number): readonly TimedReading[] {
    const subject = this.subjects.keyOf(resource)
    const all = subject === undefined ? [] : (this.#bySubject.get(subject) ?? [])
    return all.slice(firstFrom(all, fromMs), firstFrom(all, toMs + 1))
  }

  #enterReading(reading: StatedReading): void {
    const subject = this.subjects.keyOf(reading.found)
    if (subject === undefined || reading.enteredInError || !isTimed(reading)) return
    const readings = this.#bySubject.get(subject)
    if (readings === undefined) this.#bySubject.set(subject, [reading])
    else readings.push(reading)
  }

  /** A pulse of one moment; where several share it, none is taken. */
  #enterPulse({ value, at }: Found): void {
    if (value.resourceType !== 'Observation' || !hasCode(value.code, SYSTEM.loinc, LOINC.heartRate.code))
      return
    const key = this.#momentOf({ value, at })
    if (key !== undefined) this.#pulses.set(key, this.#pulses.has(key) ? undefined : statedPulse(value))
  }

  /** In the panel itself, told by the Provenance of its sitting, linked, or of the same moment. */
  #withPulse(reading: StatedReading): StatedReading {
    if (reading.pulse !== undefined || reading.problem !== undefined) return reading
    const pulse = this.#pulseOf(reading)
    return pulse === undefined ? reading : { ...reading, pulse }
  }

  #pulseOf({ found }: StatedReading): number | undefined {
    const place = this.#places.get(found.value)
    if (place !== undefined) return place.pulse
    for (const link of foundIn(found.value.hasMember, `${found.at}.hasMember`)) {
      const member = this.#scope.resolve(link.value, found)
      if (member !== undefined && hasCode(member.value.code, SYSTEM.loinc, LOINC.heartRate.code))
        return statedPulse(member.value)
    }
    const key = this.#momentOf(found)
    return key === undefined ? undefined : this.#pulses.get(key)
  }

  #momentOf(found: Found): string | undefined {
    const { effectiveDateTime } = found.value
    if (typeof effectiveDateTime !== 'string') return undefined
    return `${effectiveDateTime} ${this.subjects.keyOf(found) ?? ''}`
  }
}

export function isTimed(reading: StatedReading): reading is TimedReading {
  return reading.takenAt !== undefined
}

/** Place of the first reading at or after an instant. */
function firstFrom(readings: readonly TimedReading[], fromMs: number): number {
  let low = 0
  let high = readings.length
  while (low < high) {
    const middle = (low + high) >> 1
    if ((readings[middle]?.takenAt.epochMs ?? 0) < fromMs) low = middle + 1
    else high = middle
  }
  return low
}
