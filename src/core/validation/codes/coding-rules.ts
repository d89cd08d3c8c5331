import type { JsonObject } from '../../basics/json-object.ts'
import type { ElementRule } from '../elements/element-rule.ts'
import { isUri } from '../elements/texts.ts'
import { isAbsoluteUri } from './absolute-uri.ts'
import { bindingRules } from './binding-rules.ts'
import { hasLoincCheckDigit, hasVerhoeffCheckDigit, isConceptId } from './check-digits.ts'
import { LOINC, SNOMED_CT, UCUM } from './code-systems.ts'
import { isNameOf } from './displays.ts'
import { identifierRules } from './identifier-rules.ts'
import { languageRules } from './language-rules.ts'
import { mimeTypeRules } from './mime-type-rules.ts'
import { sampledDataRules } from './sampled-data-rules.ts'
import { isValueSetUri, isWrongSystemUri } from './system-uri.ts'
import { unknownCode } from './unknown-codes.ts'

const CODING = { on: 'Coding', code: 'CODE', type: 'code-invalid', child: 'code' } as const

const loincCheckDigit: ElementRule = {
  ...CODING,
  key: 'loinc-check-digit',
  severity: 'error',
  human: 'a LOINC number with its right check digit, or a LOINC part, answer or list code',
  remedy: 'Look the code up at loinc.org: a digit is wrong or two are swapped.',
  holds: ({ system, code }) =>
    system !== LOINC ||
    typeof code !== 'string' ||
    (isDigit(code.charCodeAt(0)) ? hasLoincCheckDigit(code) : LOINC_OTHER.test(code)),
}

/** Parts, answers, answer lists and groups; how their letters enter the check digit is not published with the code. */
const LOINC_OTHER = /^(?:LA|LG|LL|LP)\d{1,8}-\d$/

const snomedCheckDigit: ElementRule = {
  ...CODING,
  key: 'snomed-check-digit',
  severity: 'error',
  human: 'a SNOMED CT identifier with its right check digit, or an expression of such identifiers',
  remedy: 'Look the code up in a SNOMED CT browser: a digit is wrong or two are swapped.',
  holds: ({ system, code }) => system !== SNOMED_CT || typeof code !== 'string' || hasSnomedForm(code),
}

function hasSnomedForm(code: string): boolean {
  const identifiers = code.match(/\d{6,}/g)
  if (identifiers === null) return false
  // Anything beside digits makes it a post-coordinated expression, whose grammar is not checked here.
  if (identifiers[0] === code) return hasVerhoeffCheckDigit(code)
  return /[:+=|]/.test(code) && identifiers.every(hasVerhoeffCheckDigit)
}

const snomedConcept: ElementRule = {
  ...CODING,
  key: 'snomed-concept',
  severity: 'error',
  human: 'the identifier of a SNOMED CT concept, not of a description or a relationship',
  remedy: 'Look the concept up in a SNOMED CT browser and send its own identifier (FHIR R4 snomedct.html).',
  holds: ({ system, code }) =>
    system !== SNOMED_CT ||
    typeof code !== 'string' ||
    !DIGITS.test(code) ||
    !hasVerhoeffCheckDigit(code) ||
    isConceptId(code),
}

/** Anything else is an expression, or has been reported. */
const DIGITS = /^\d{6,18}$/

function isDigit(charCode: number): boolean {
  return charCode >= 48 && charCode <= 57
}

/** Source: FHIR R4 4.0.1 datatypes.html, Coding: without a system a code has no meaning that can be known. */
const missingSystem: ElementRule = {
  ...CODING,
  key: 'coding-system',
  severity: 'warning',
  child: 'system',
  human: 'the absolute URI of the code system, beside a code',
  remedy: 'Add the system the code is from; without it the code has no meaning that others can know.',
  holds: ({ system, code, _system }) => code === undefined || system !== undefined || _system !== undefined,
}

/** HL7's reference validator has this as an error too. */
const relativeSystem: ElementRule = {
  ...CODING,
  key: 'coding-system',
  severity: 'error',
  child: 'system',
  human: 'the absolute URI of a code system: with a scheme, and after urn:oid: or urn:uuid: an OID or a UUID',
  remedy: `Use the URI of the code system, such as ${LOINC}, ${SNOMED_CT} or ${UCUM}, not its name.`,
  holds: ({ system }) => typeof system !== 'string' || !isUri(system) || isAbsoluteUri(system),
}

const SYSTEM_URI = {
  key: 'code-system-uri',
  code: 'CODE',
  type: 'code-invalid',
  child: 'system',
  human: 'the URI that R4 gives this code system',
} as const

/**
 * A warning, as whoever reads it sees an unknown code system, which R4 allows; where the system is fixed, the profile
 * blocks. One that is relative has been reported for that.
 */
const systemUri = ['Coding', 'Quantity', 'Age', 'Count', 'Distance', 'Duration'].map(
  (on): ElementRule => ({
    ...SYSTEM_URI,
    on,
    severity: 'warning',
    remedy:
      'Use the URI of FHIR R4 terminologies-systems.html, letter by letter: http://loinc.org, http://snomed.info/sct, http://unitsofmeasure.org, or http://terminology.hl7.org/CodeSystem/ with the name of an HL7 code system.',
    holds: ({ system }) =>
      typeof system !== 'string' || !isWrongSystemUri(system) || (on === 'Coding' && !isAbsoluteUri(system)),
  }),
)

/** Source: FHIR R4 4.0.1 terminology-module.html: a code is defined by a code system; a value set only selects codes. */
const valueSetAsSystem: ElementRule = {
  ...SYSTEM_URI,
  on: 'Coding',
  severity: 'error',
  human: 'the URI of a code system, not of a value set',
  remedy: 'Use the system that the value set draws the code from.',
  holds: ({ system }) => typeof system !== 'string' || !isValueSetUri(system),
}

const codeUnknown = (['error', 'warning'] as const).map(
  (severity): ElementRule => ({
    ...CODING,
    key: 'code-unknown',
    severity,
    human:
      severity === 'error'
        ? 'a code that the code system has'
        : 'a code that the code system had when R4 4.0.1 was published',
    remedy: 'Use a code of the code system, in its own capitals.',
    holds: (coding) => unknownCode(coding) !== severity,
  }),
)

const display: ElementRule = {
  ...CODING,
  key: 'display',
  severity: 'warning',
  child: 'display',
  human: 'a name that the code system gives the code',
  remedy: 'Check that the code is the one that is meant, and write its name as the code system does.',
  holds: ({ display: name, system, code }, root) =>
    typeof name !== 'string' ||
    typeof system !== 'string' ||
    typeof code !== 'string' ||
    !isEnglish(root) ||
    isNameOf(name, system, code) !== false,
}

/** The names known here are English; in a resource of another language they cannot be compared. */
function isEnglish({ language }: JsonObject): boolean {
  return typeof language !== 'string' || /^en\b/i.test(language)
}

/** Rules about codings, by themselves and where they stand, and about other texts that are codes of some kind. */
export const codingRules: readonly ElementRule[] = [
  loincCheckDigit,
  snomedCheckDigit,
  snomedConcept,
  ...systemUri,
  valueSetAsSystem,
  ...codeUnknown,
  missingSystem,
  relativeSystem,
  display,
  ...bindingRules,
  ...identifierRules,
  ...languageRules,
  ...mimeTypeRules,
  ...sampledDataRules,
]
