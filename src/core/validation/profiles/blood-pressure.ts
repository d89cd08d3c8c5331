import { LOINC, UCUM } from '../codes/code-systems.ts'
import { VITALS_UNITS } from '../codes/unit-rules.ts'
import { hasChoice } from '../invariants/presence.ts'
import { isJsonObject, type JsonObject } from '../json-object.ts'
import type { Report } from '../layer.ts'
import { type ComponentSlice, checkCode, checkNoValue, checkSlice } from './component-slice.ts'
import { countCodings, type Profile, profileWarning } from './profile.ts'
import { checkVitalSign } from './vital-signs.ts'

const KEY = 'bp'
const SYSTOLIC: ComponentSlice = { code: '8480-6', name: 'systolic blood pressure', ucum: 'mm[Hg]' }
const DIASTOLIC: ComponentSlice = { code: '8462-4', name: 'diastolic blood pressure', ucum: 'mm[Hg]' }

/**
 * Source: http://hl7.org/fhir/StructureDefinition/bp|4.0.1. The codes that make it apply are those of the HL7 validator,
 * so a lone systolic Observation is held to it and fails.
 */
export const bloodPressure: Profile = {
  key: KEY,
  url: 'http://hl7.org/fhir/StructureDefinition/bp',
  codes: new Set(['85354-9', '35094-2', '8459-0', '76534-7', '55284-4', '8480-6']),
  check(observation, at, report, errorsOnly) {
    checkVitalSign(observation, at, report)
    checkCode(KEY, '85354-9', observation, at, report)
    checkSlice(KEY, SYSTOLIC, observation, at, report)
    checkSlice(KEY, DIASTOLIC, observation, at, report)
    checkNoValue(KEY, observation, at, report)
    if (!errorsOnly) warnOfOtherUnits(observation, at, report)
  },
}

/**
 * The vital signs profile binds every component value to the twelve units of `ucum-vitals-common`: required by the 4.0.1
 * text, though a body position cannot be a unit. Later editions of the same profile relaxed it, and the HL7 validator
 * of 2026 warns, so this warns too.
 */
function warnOfOtherUnits(observation: JsonObject, at: string, report: Report): void {
  const components = observation.component
  if (!Array.isArray(components)) return
  for (let i = 0; i < components.length; i++) {
    const component: unknown = components[i]
    if (!isJsonObject(component) || isSlice(component.code) || hasVitalsUnit(component)) continue
    report(
      profileWarning(
        'vitalsigns',
        'code-invalid',
        `${at}.component[${i}].value`,
        'a quantity in a unit of the value set ucum-vitals-common, by the letter of R4 4.0.1',
        'Servers that hold to the letter refuse this component: send them the extension alone.',
      ),
    )
  }
}

function isSlice(code: unknown): boolean {
  return countCodings(code, LOINC, SYSTOLIC.code) > 0 || countCodings(code, LOINC, DIASTOLIC.code) > 0
}

function hasVitalsUnit(component: JsonObject): boolean {
  const { valueQuantity } = component
  if (!isJsonObject(valueQuantity)) return !hasChoice(component, 'value')
  return valueQuantity.system === UCUM && VITALS_UNITS.has(valueQuantity.code)
}
