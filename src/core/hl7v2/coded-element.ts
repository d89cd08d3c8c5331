import type { CodeableConcept, Coding } from 'fhir/r4.js'
import { SYSTEM } from '../fhir/codes.ts'
import type { Field } from './segment.ts'

/** How messages call our own code system. Source: HL7 table 0396, `99zzz`: local general code. */
export const OWN_SYSTEM = '99HBP'

/**
 * A concept as CE or CWE: code, text and system, and the same of a second coding behind it. Both have these six
 * components; without a coding the text stands alone. A coding without a name of its own has that of the concept.
 * Source: HL7 v2.5.1 sections 2.A.3 (CE) and 2.A.13 (CWE).
 */
export function codedElement(concept: CodeableConcept): Field {
  const codings = (concept.coding ?? []).filter(({ code }) => code !== undefined).slice(0, 2)
  if (codings.length === 0) return ['', concept.text ?? concept.coding?.[0]?.display ?? '']
  return codings.flatMap((coding) => [
    coding.code ?? '',
    coding.display ?? concept.text ?? '',
    systemName(coding),
  ])
}

/** A code of ours, with what it means in words. */
export function ownElement(code: string, text: string): Field {
  return [code, text, OWN_SYSTEM]
}

/**
 * Name of a code system by HL7 table 0396, where `L` is a local one: it stands for systems that the table has no name
 * for, such as the bits of 11073 status words.
 */
function systemName({ system = '' }: Coding): string {
  return NAMES.get(system) ?? (OWN.test(system) ? OWN_SYSTEM : 'L')
}

const NAMES: ReadonlyMap<string, string> = new Map([
  [SYSTEM.loinc, 'LN'],
  [SYSTEM.snomed, 'SCT'],
  [SYSTEM.ucum, 'UCUM'],
  [SYSTEM.mdc, 'MDC'],
])

/** Our code systems under any canonical base. */
const OWN = /\/CodeSystem\/home-bp-(?:gateway|findings)$/
