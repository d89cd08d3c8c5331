import { type Issue, inputError } from '../basics/issue.ts'
import { isJsonObject, type JsonObject, objectsOf } from '../basics/json-object.ts'
import { nameTwoUnits } from '../basics/pressure-unit-words.ts'

/** Code systems of what makes a reading. Source: HL7 Personal Health Device guide 2.0.0 for that of ISO/IEEE 11073. */
const LOINC = 'http://loinc.org'
const MDC = 'urn:iso:std:iso:11073:10101'
const UCUM = 'http://unitsofmeasure.org'

/**
 * Codes of one reading. Sources: FHIR R4 4.0.1, profile bp (LOINC); HL7 Personal Health Device guide 2.0.0 (ISO/IEEE
 * 11073: 150020 and its parts).
 */
const CODES: ReadonlyMap<string, 'panel' | 'systolic' | 'diastolic'> = new Map([
  [`${LOINC}|85354-9`, 'panel'],
  [`${LOINC}|8480-6`, 'systolic'],
  [`${LOINC}|8462-4`, 'diastolic'],
  [`${MDC}|150020`, 'panel'],
  [`${MDC}|150021`, 'systolic'],
  [`${MDC}|150022`, 'diastolic'],
])

/**
 * Statuses of what is taken back. A server may keep no more of it than when it was and whose it is.
 * Source: FHIR R4 4.0.1, value set observation-status.
 */
const TAKEN_BACK: ReadonlySet<unknown> = new Set(['entered-in-error', 'cancelled'])

/** The one unit of an Observation's pressures, as UCUM writes it; absent when it has no pressure with a value. */
export interface MeasuredPressures {
  /** What the Observation itself is of a reading; absent for all else. */
  readonly measures?: 'panel' | 'systolic' | 'diastolic'
  readonly unit?: string
  readonly issues: readonly Issue[]
}

/**
 * Looks at the pressures of an Observation, a panel with components or a single pressure: each must have a number in
 * UCUM or say why it has none, a panel must have both, and the two must have one unit, which the words beside its code
 * must not name otherwise. One that is taken back is not asked for any. No value is read here.
 * Sources: FHIR R4 4.0.1, profile bp (both components 1..1, UCUM), invariants vs-2 and vs-3.
 *
 * @param at FHIRPath of the Observation.
 */
export function measuredPressures(observation: JsonObject, at: string): MeasuredPressures {
  const issues: Issue[] = []
  const units: string[] = []
  const look = (element: JsonObject, place: string): void => {
    const { valueQuantity, dataAbsentReason } = element
    const isAbsent = isJsonObject(dataAbsentReason)
    if (!isJsonObject(valueQuantity) || valueQuantity.value === undefined) {
      if (!isAbsent) issues.push(noValue(place))
      return
    }
    if (isAbsent) issues.push(valueAndReason(place))
    const { value, system, code, unit } = valueQuantity
    if (typeof value !== 'number') issues.push(noNumber(`${place}.valueQuantity.value`))
    if (system !== UCUM || typeof code !== 'string') issues.push(noUnit(`${place}.valueQuantity`))
    else {
      if (nameTwoUnits(code, unit)) issues.push(otherWords(`${place}.valueQuantity.unit`))
      units.push(code)
      if (code !== units[0]) issues.push(otherUnit(`${place}.valueQuantity.code`))
    }
  }
  const whole = measuredBy(observation)
  const asked = TAKEN_BACK.has(observation.status) ? undefined : whole
  if (asked === 'systolic' || asked === 'diastolic') look(observation, at)
  if (asked === 'panel') {
    const counted = { systolic: 0, diastolic: 0 }
    const components: readonly unknown[] = Array.isArray(observation.component) ? observation.component : []
    for (const [index, component] of components.entries()) {
      if (!isJsonObject(component)) continue
      const measured = measuredBy(component)
      if (measured !== 'systolic' && measured !== 'diastolic') continue
      const place = `${at}.component[${index}]`
      counted[measured] += 1
      if (counted[measured] > 1) issues.push(again(place, measured))
      look(component, place)
    }
    for (const measured of ['systolic', 'diastolic'] as const)
      if (counted[measured] === 0) issues.push(missing(`${at}.component`, measured))
  }
  const [unit] = units
  return {
    ...(whole === undefined ? {} : { measures: whole }),
    ...(unit === undefined ? {} : { unit }),
    issues,
  }
}

/** What an Observation or component measures of a reading; undefined for all else. */
function measuredBy({ code }: JsonObject): 'panel' | 'systolic' | 'diastolic' | undefined {
  if (!isJsonObject(code)) return undefined
  for (const coding of objectsOf(code.coding)) {
    const measured = CODES.get(`${String(coding.system)}|${String(coding.code)}`)
    if (measured !== undefined) return measured
  }
  return undefined
}

function noValue(place: string): Issue {
  const expected = 'a value in valueQuantity, or the reason why there is none in dataAbsentReason'
  return { ...inputError('required', 'MISSING_KEY', place, expected, 'Send one of the two.'), rule: 'vs-3' }
}

/** The sender says of the value that it is none. R4 has invariant obs-6 for an Observation, and none for its parts. */
function valueAndReason(place: string): Issue {
  const expected = 'a value, or the reason why there is none, and not both'
  const remedy = 'Send the value where the monitor measured it, and the reason alone where it did not.'
  return inputError('business-rule', 'NOT_A_MEASUREMENT', place, expected, remedy)
}

function noNumber(place: string): Issue {
  return inputError('structure', 'WRONG_TYPE', place, 'a number', 'Send it as a JSON number.')
}

function noUnit(place: string): Issue {
  const expected = `a unit of UCUM: system ${UCUM} and code mm[Hg] or kPa`
  return inputError('code-invalid', 'CODE', place, expected, 'Send system and code beside the unit in words.')
}

/** People are shown the unit’s words, machines read its code: nobody knows which of the two was measured. */
function otherWords(place: string): Issue {
  const expected = 'the unit that the code beside it names'
  return inputError('code-invalid', 'CODE', place, expected, 'Name the unit that was measured in, by both.')
}

/** Two pressures of one reading in two units. */
export function otherUnit(place: string): Issue {
  const remedy = 'Send both pressures as the monitor showed them.'
  return inputError('value', 'CODE', place, 'the unit of the other pressure', remedy)
}

function again(place: string, measured: string): Issue {
  const remedy = 'Send each reading as an Observation of its own.'
  return { ...inputError('duplicate', 'TOO_MANY', place, `one ${measured} pressure`, remedy), rule: 'bp' }
}

function missing(place: string, measured: string): Issue {
  const expected = `a component with the ${measured} pressure`
  const remedy = 'Send it; where the monitor gave none, with a dataAbsentReason.'
  return { ...inputError('required', 'MISSING_KEY', place, expected, remedy), rule: 'bp' }
}
