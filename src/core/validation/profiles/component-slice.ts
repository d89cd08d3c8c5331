import { LOINC } from '../codes/code-systems.ts'
import { hasChoice } from '../invariants/presence.ts'
import { isJsonObject, type JsonObject } from '../json-object.ts'
import type { Report } from '../layer.ts'
import { checkFixedQuantity } from './fixed-quantity.ts'
import { countCodings, profileIssue } from './profile.ts'

/** A component that must be there exactly once, known by its LOINC code, with a pressure as its value. */
export interface ComponentSlice {
  readonly code: string
  readonly name: string
  readonly ucum: string
}

/** Counts the slice's components and checks the value of each. A value may be absent: other rules ask the reason. */
export function checkSlice(
  key: string,
  slice: ComponentSlice,
  observation: JsonObject,
  at: string,
  report: Report,
): void {
  let found = 0
  const components = observation.component
  if (Array.isArray(components)) {
    for (let i = 0; i < components.length; i++) {
      const component: unknown = components[i]
      if (!isJsonObject(component)) continue
      const codings = countCodings(component.code, LOINC, slice.code)
      if (codings === 0) continue
      found++
      if (codings > 1) reportRepeatedCoding(key, slice, `${at}.component[${i}].code.coding`, report)
      if (component.valueQuantity !== undefined) {
        checkFixedQuantity(key, component.valueQuantity, slice.ucum, `${at}.component[${i}].value`, report)
      } else if (hasChoice(component, 'value')) {
        report(
          profileIssue(
            key,
            'value',
            `${at}.component[${i}].value`,
            'a Quantity',
            'Send valueQuantity, or no value.',
          ),
        )
      }
    }
  }
  if (found === 1) return
  report(
    profileIssue(
      key,
      found === 0 ? 'required' : 'structure',
      `${at}.component`,
      `one component ${slice.code}, ${slice.name}`,
      found === 0
        ? 'Add it; without a value, with dataAbsentReason.'
        : 'Send each reading as an Observation.',
    ),
  )
}

/** The Observation's own code carries the LOINC code exactly once. */
export function checkCode(
  key: string,
  code: string,
  observation: JsonObject,
  at: string,
  report: Report,
): void {
  const found = countCodings(observation.code, LOINC, code)
  if (found === 1) return
  report(
    profileIssue(
      key,
      found === 0 ? 'required' : 'structure',
      `${at}.code.coding`,
      `one coding ${code} of ${LOINC}`,
      'Give the code this coding once; others may stand beside it.',
    ),
  )
}

/** The Observation has no value of its own: its components have. */
export function checkNoValue(key: string, observation: JsonObject, at: string, report: Report): void {
  if (!hasChoice(observation, 'value')) return
  report(
    profileIssue(
      key,
      'structure',
      `${at}.value`,
      'no value beside those of the components',
      'Move it to a component.',
    ),
  )
}

function reportRepeatedCoding(key: string, slice: ComponentSlice, at: string, report: Report): void {
  report(profileIssue(key, 'structure', at, `the coding ${slice.code} once`, 'Leave one of them out.'))
}
