import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import type { Position } from '../../clinical/session.ts'
import { EXTENSION, LOINC, SNOMED, SYSTEM } from '../../fhir/codes.ts'
import { hasCode } from './codings.ts'

type Told = Extract<Position, 'standing' | 'lying'>

/** With the codes and the words that say so. */
const TOLD: readonly (readonly [position: Told, loinc: string, snomed: string, words: RegExp])[] = [
  ['standing', LOINC.answerStanding.code, SNOMED.standing, /^standing\b/i],
  ['lying', LOINC.answerLying.code, SNOMED.recumbent, /^(?:lying|supine|recumbent)\b/i],
]

/** Whether a reading says it was taken standing or lying, in R4's extension or in the component 8361-8. */
export function statedPosition({ extension, component }: JsonObject): Told | undefined {
  const said = [
    ...objectsOf(extension).filter(({ url }) => url === EXTENSION.bodyPosition),
    ...objectsOf(component).filter(({ code }) => hasCode(code, SYSTEM.loinc, LOINC.bodyPosition.code)),
  ]
  return TOLD.find(([, loinc, snomed, words]) =>
    said.some(
      ({ valueCodeableConcept: value }) =>
        hasCode(value, SYSTEM.loinc, loinc) ||
        hasCode(value, SYSTEM.snomed, snomed) ||
        (isJsonObject(value) && typeof value.text === 'string' && words.test(value.text)),
    ),
  )?.[0]
}
