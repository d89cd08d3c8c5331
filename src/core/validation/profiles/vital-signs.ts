import { OBSERVATION_CATEGORY } from '../codes/code-systems.ts'
import { hasChoice, hasPrimitive } from '../invariants/presence.ts'
import { exists, isJsonObject, type JsonObject, objectsOf } from '../json-object.ts'
import type { Report } from '../layer.ts'
import { countCodings, profileIssue, profileWarning } from './profile.ts'

const KEY = 'vitalsigns'

/**
 * The rules that blood pressure and heart rate take from the vital signs profile.
 * Source: http://hl7.org/fhir/StructureDefinition/vitalsigns|4.0.1.
 */
export function checkVitalSign(observation: JsonObject, at: string, report: Report): void {
  checkCategory(KEY, observation, at, report)
  checkPatient(KEY, observation, at, report)
  checkEffective(observation, at, report)
  checkComponents(observation, at, report)
  if (!exists(observation.component) && !exists(observation.hasMember) && !hasValueOrReason(observation)) {
    report(
      profileIssue(
        'vs-2',
        'invariant',
        at,
        'a value, or the reason why there is none',
        'Add the value, or dataAbsentReason.',
      ),
    )
  }
}

/** Exactly one category is "vital signs", and it holds no other coding; further categories may stand beside it. */
export function checkCategory(key: string, observation: JsonObject, at: string, report: Report): void {
  let found = 0
  const categories = observation.category
  if (Array.isArray(categories)) {
    for (let i = 0; i < categories.length; i++) {
      const category: unknown = categories[i]
      const matching = countCodings(category, OBSERVATION_CATEGORY, 'vital-signs')
      if (matching === 0) continue
      found++
      if (isJsonObject(category) && objectsOf(category.coding).length > matching) {
        report(
          profileIssue(
            key,
            'value',
            `${at}.category[${i}].coding`,
            'no coding but vital-signs in this category',
            'Move the other coding to a category of its own.',
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
      `${at}.category`,
      `one category vital-signs of ${OBSERVATION_CATEGORY}`,
      'Give the Observation this category once.',
    ),
  )
}

/** A subject, and where its reference shows a type, a Patient. */
export function checkPatient(key: string, { subject }: JsonObject, at: string, report: Report): void {
  if (!exists(subject)) {
    report(profileIssue(key, 'required', `${at}.subject`, 'the patient it is about', 'Add the subject.'))
  } else if (!mayBe(subject, PATIENT)) {
    report(profileIssue(key, 'value', `${at}.subject`, 'a reference to a Patient', 'Refer to the patient.'))
  }
}

/** What vital signs may be part of or computed from. An Observation must itself meet the vital signs profile. */
const MEMBERS = ['QuestionnaireResponse', 'MolecularSequence', 'Observation']
const SOURCES = [...MEMBERS, 'DocumentReference', 'ImagingStudy', 'Media']
const PATIENT = ['Patient']

/** Whether a reference may point to one of the types: false only where it shows another type. */
function mayBe(reference: unknown, types: readonly string[]): boolean {
  if (!isJsonObject(reference)) return true
  const type = typeof reference.type === 'string' ? reference.type : typeInUrl(reference.reference)
  return type === undefined || types.includes(type)
}

/** `Patient` of `Patient/1`, `https://clinic.example/fhir/Patient/1` and `Patient?identifier=a|b`; undefined for others. */
function typeInUrl(url: unknown): string | undefined {
  if (typeof url !== 'string' || url.startsWith('#') || url.startsWith('urn:')) return undefined
  return /(?:^|\/)([A-Z][A-Za-z]+)(?:\/[A-Za-z0-9.-]{1,64}(?:\/_history\/[A-Za-z0-9.-]{1,64})?$|\?)/.exec(
    url,
  )?.[1]
}

/** When it was measured: a dateTime to the day at least, or a Period. */
function checkEffective(observation: JsonObject, at: string, report: Report): void {
  const { effectiveDateTime } = observation
  if (typeof effectiveDateTime === 'string') {
    if (effectiveDateTime.length < VS1_LENGTH) {
      report(
        profileIssue(
          'vs-1',
          'invariant',
          `${at}.effective`,
          'a time known to the day at least',
          'Add month and day.',
        ),
      )
    }
  } else if (exists(observation.effectivePeriod)) {
    // The profile allows the type and the rule's own words spare it, but its expression gives no answer for it.
    report(
      profileWarning(
        'vs-1',
        'invariant',
        `${at}.effective`,
        'a dateTime: other validators refuse a Period here',
        'Send the time of the reading as effectiveDateTime.',
      ),
    )
  } else if (!hasPrimitive(observation, 'effectiveDateTime')) {
    report(
      profileIssue(
        KEY,
        'required',
        `${at}.effective`,
        'the time of measurement, as a dateTime or Period',
        'Add effectiveDateTime.',
      ),
    )
  }
}

/** Source: constraint vs-1, `($this as dateTime).toString().length() >= 8`. */
const VS1_LENGTH = 8

function checkComponents(observation: JsonObject, at: string, report: Report): void {
  const components = observation.component
  if (Array.isArray(components)) {
    for (let i = 0; i < components.length; i++) {
      const component: unknown = components[i]
      if (isJsonObject(component) && !hasValueOrReason(component)) {
        report(
          profileIssue(
            'vs-3',
            'invariant',
            `${at}.component[${i}]`,
            'a value, or the reason why there is none',
            'Add the value, or dataAbsentReason.',
          ),
        )
      }
    }
  }
  checkTargets('hasMember', MEMBERS, observation, at, report)
  checkTargets('derivedFrom', SOURCES, observation, at, report)
}

function checkTargets(
  element: string,
  types: readonly string[],
  observation: JsonObject,
  at: string,
  report: Report,
): void {
  const references = observation[element]
  if (!Array.isArray(references)) return
  for (let i = 0; i < references.length; i++) {
    if (mayBe(references[i], types)) continue
    report(
      profileIssue(
        KEY,
        'value',
        `${at}.${element}[${i}]`,
        `a reference to one of ${types.join(', ')}`,
        'Correct it.',
      ),
    )
  }
}

export function hasValueOrReason(element: JsonObject): boolean {
  return exists(element.valueQuantity) || exists(element.dataAbsentReason) || hasChoice(element, 'value')
}
