import { hasPrimitive } from '../invariants/presence.ts'
import { exists, isJsonObject, type JsonObject } from '../json-object.ts'
import type { Report } from '../layer.ts'
import { type ComponentSlice, checkCode, checkNoValue, checkSlice } from './component-slice.ts'
import { type Profile, profileIssue } from './profile.ts'
import { checkCategory, checkPatient, hasValueOrReason } from './vital-signs.ts'

const KEY = 'us-core-average-blood-pressure'
const SYSTOLIC: ComponentSlice = { code: '96608-5', name: 'systolic blood pressure mean', ucum: 'mm[Hg]' }
const DIASTOLIC: ComponentSlice = { code: '96609-3', name: 'diastolic blood pressure mean', ucum: 'mm[Hg]' }

/**
 * Source: US Core 9.0.0, `us-core-average-blood-pressure`; the average profiles of CardX Hypertension Management 1.0.0
 * and of CIMI Vital Signs have the same components and the same code. It derives from Observation, not from
 * vital signs: a Period is welcome, and a component may count readings in any unit.
 */
export const averageBloodPressure: Profile = {
  key: KEY,
  url: 'http://hl7.org/fhir/us/core/StructureDefinition/us-core-average-blood-pressure',
  codes: new Set(['96607-7']),
  check(observation, at, report) {
    checkCategory(KEY, observation, at, report)
    checkPatient(KEY, observation, at, report)
    checkTime(observation, at, report)
    checkCode(KEY, '96607-7', observation, at, report)
    checkSlice(KEY, SYSTOLIC, observation, at, report)
    checkSlice(KEY, DIASTOLIC, observation, at, report)
    checkNoValue(KEY, observation, at, report)
    checkReasons(observation, at, report)
  },
}

function checkTime(observation: JsonObject, at: string, report: Report): void {
  if (exists(observation.effectivePeriod) || hasPrimitive(observation, 'effectiveDateTime')) return
  report(
    profileIssue(
      KEY,
      'required',
      `${at}.effective`,
      'the time averaged over, as a Period or dateTime',
      'Add effectivePeriod.',
    ),
  )
}

function checkReasons(observation: JsonObject, at: string, report: Report): void {
  const components = observation.component
  if (!Array.isArray(components)) return
  for (let i = 0; i < components.length; i++) {
    const component: unknown = components[i]
    if (!isJsonObject(component) || hasValueOrReason(component)) continue
    report(
      profileIssue(
        'us-core-26',
        'invariant',
        `${at}.component[${i}]`,
        'a value, or the reason why there is none',
        'Add the value, or dataAbsentReason.',
      ),
    )
  }
}
