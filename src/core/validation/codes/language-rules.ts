import { isJsonObject, objectsOf } from '../../basics/json-object.ts'
import type { ElementRule } from '../elements/element-rule.ts'
import { RESOURCE_TYPES } from '../elements/element-tokens.ts'
import { isCode } from '../elements/texts.ts'
import { LANGUAGES } from './code-systems.ts'
import { isLanguageTag } from './language-tags.ts'

const LANGUAGE = { key: 'language', code: 'CODE', type: 'code-invalid' } as const

const ILL_FORMED = {
  ...LANGUAGE,
  severity: 'error',
  human: 'a language tag of BCP 47, such as en or de-CH',
  remedy: 'Write the language as a tag: letters and digits with hyphens between, no name and no underscore.',
} as const

/** Elements of type `code`. */
const ofCodes = [...RESOURCE_TYPES, 'Attachment', 'CodeSystem_Designation', 'ValueSet_Designation'].map(
  (on): ElementRule => ({
    ...ILL_FORMED,
    on,
    child: 'language',
    holds: ({ language }) => typeof language !== 'string' || !isCode(language) || isLanguageTag(language),
  }),
)

/** Wherever a coding stands: a code that is no tag is none of this code system. */
const ofCodings: ElementRule = {
  ...ILL_FORMED,
  on: 'Coding',
  child: 'code',
  holds: ({ system, code }) =>
    system !== LANGUAGES || typeof code !== 'string' || !isCode(code) || isLanguageTag(code),
}

const CONCEPTS = [
  ['Patient_Communication', 'language'],
  ['RelatedPerson_Communication', 'language'],
  ['Practitioner', 'communication'],
  ['HealthcareService', 'communication'],
  ['ClaimResponse_ProcessNote', 'language'],
  ['ExplanationOfBenefit_ProcessNote', 'language'],
] as const

const ofConcepts = CONCEPTS.map(
  ([on, property]): ElementRule => ({
    ...LANGUAGE,
    on,
    severity: 'warning',
    human: `a coding of ${LANGUAGES}`,
    remedy: 'Add the language as a tag of BCP 47 beside the codings that are there.',
    holds: (element) => {
      const value = element[property]
      return Array.isArray(value) ? !value.some(isWithoutTag) : !isWithoutTag(value)
    },
    where: (element) => {
      const value = element[property]
      if (!Array.isArray(value)) return [property]
      return value.flatMap((item, index) => (isWithoutTag(item) ? [`${property}[${index}]`] : []))
    },
  }),
)

/** Text alone is what is left where no tag is known. */
function isWithoutTag(concept: unknown): boolean {
  if (!isJsonObject(concept)) return false
  const codings = objectsOf(concept.coding)
  return codings.length > 0 && codings.every(({ system }) => system !== LANGUAGES)
}

/**
 * Languages that R4 binds to the value set of all languages: at most those.
 *
 * Source: FHIR R4 4.0.1, the extension elementdefinition-maxValueSet on Resource.language and the others listed here;
 * valueset-all-languages.html: every code of `urn:ietf:bcp:47`.
 */
export const languageRules: readonly ElementRule[] = [...ofCodes, ofCodings, ...ofConcepts]
