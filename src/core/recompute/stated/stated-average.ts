import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import type { Pressure } from '../../basics/pressure.ts'
import { LOINC, SNOMED, SYSTEM } from '../../fhir/codes.ts'
import { type Found, foundIn, urlEndsWith } from '../found.ts'
import { hasCode } from './codings.ts'
import type { AverageKind, FoundAverage } from './find-averages.ts'
import { unitOf } from './stated-pressure.ts'

/** A mean as it is stated; without a value where it says that there is none. */
export interface StatedMean {
  readonly pressure: 'systolic' | 'diastolic'
  readonly at: string
  readonly value?: number
  /** Undefined for a unit that is neither mm[Hg] nor kPa. */
  readonly unit: Pressure['unit'] | undefined
}

export interface StatedNumber {
  readonly at: string
  readonly value: number
}

/** A reference of the average to a reading, and what it leads to. */
export interface ReadingLink {
  readonly at: string
  readonly target: Found | undefined
}

/** LOINC’s codes of the two means, by the kind of average. A day or night mean uses those of a mean over a stated time. */
const MEANS: Readonly<Record<AverageKind, readonly (readonly [code: string, StatedMean['pressure']])[]>> = {
  home: [
    [LOINC.meanSystolic.code, 'systolic'],
    [LOINC.meanDiastolic.code, 'diastolic'],
  ],
  recording: [
    [LOINC.twentyFourHourSystolic.code, 'systolic'],
    [LOINC.twentyFourHourDiastolic.code, 'diastolic'],
    [LOINC.meanSystolic.code, 'systolic'],
    [LOINC.meanDiastolic.code, 'diastolic'],
  ],
}

export function statedMeans({ average, kind }: FoundAverage): readonly StatedMean[] {
  const components = foundIn(average.value.component, `${average.at}.component`)
  return MEANS[kind].flatMap(([code, pressure]) =>
    components.flatMap(({ value, at }): StatedMean[] => {
      if (!hasCode(value.code, SYSTEM.loinc, code)) return []
      const { valueQuantity } = value
      if (!isJsonObject(valueQuantity) || typeof valueQuantity.value !== 'number')
        return isJsonObject(value.dataAbsentReason) ? [{ pressure, at, unit: 'mmHg' }] : []
      return [{ pressure, at: `${at}.value`, value: valueQuantity.value, unit: unitOf(valueQuantity) }]
    }),
  )
}

/** The number of readings averaged, as US Core and as CardX write it; the latter as a number or as a quantity. */
export function statedCounts({ value, at }: Found): readonly StatedNumber[] {
  const components = foundIn(value.component, `${at}.component`).filter((one) =>
    hasCode(one.value.code, SYSTEM.snomed, SNOMED.numberOfOccurrences),
  )
  const extensions = foundIn(value.extension, `${at}.extension`).filter((one) =>
    urlEndsWith(one.value.url, 'NumberOfMeasurementsExt'),
  )
  return [...extensions, ...components].flatMap((one) => {
    const number = numberIn(one.value)
    return number === undefined ? [] : [{ at: `${one.at}.value`, value: number }]
  })
}

/** The readings it was derived from, in their order; one for each item of the list. */
export function statedReadings({ average, scope }: FoundAverage): readonly ReadingLink[] {
  return foundIn(average.value.derivedFrom, `${average.at}.derivedFrom`).map(({ value, at }) => ({
    at,
    target: scope.resolve(value, average),
  }))
}

/**
 * Canonicals of what the average keeps to, without their versions. Source: HL7 FHIR Extensions Pack, workflow-adheresTo.
 */
export function adheredTo({ value, at }: Found): readonly { readonly at: string; readonly url: string }[] {
  return foundIn(value.extension, `${at}.extension`).flatMap((one) => {
    if (!urlEndsWith(one.value.url, 'StructureDefinition/workflow-adheresTo')) return []
    const { valueCanonical, valueUri, valueReference } = one.value
    const reference = isJsonObject(valueReference) ? valueReference.reference : undefined
    const url = valueCanonical ?? valueUri ?? reference
    return typeof url === 'string' ? [{ at: `${one.at}.value`, url: url.split('|', 1)[0] ?? url }] : []
  })
}

/** The texts of the notes. */
export function noteTexts({ value }: Found): readonly string[] {
  return objectsOf(value.note).flatMap(({ text }) => (typeof text === 'string' ? [text] : []))
}

function numberIn({ valueQuantity, valueInteger, valueDecimal }: JsonObject): number | undefined {
  const number = isJsonObject(valueQuantity) ? valueQuantity.value : (valueInteger ?? valueDecimal)
  return typeof number === 'number' ? number : undefined
}
