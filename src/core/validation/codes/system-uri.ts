import { LRUCache } from 'lru-cache'
import { LOINC, SNOMED_CT, UCUM } from './code-systems.ts'
import { MOVED_CODE_SYSTEMS } from './published-codes.generated.js'

/**
 * Whether a text means a code system that R4 has another URI for: LOINC, SNOMED CT or UCUM spelled some other way, or
 * one of HL7’s by the URI it had before R4. Of any other text nothing is known.
 *
 * Source: FHIR R4 4.0.1 terminologies-systems.html: the URIs listed there SHALL be used, also where an OID exists. The
 * code systems R4 has under `http://terminology.hl7.org/CodeSystem/` were under `http://hl7.org/fhir/` in STU3.
 */
export function isWrongSystemUri(system: string): boolean {
  if (system === LOINC || system === SNOMED_CT || system === UCUM || system.length > LONGEST) return false
  const known = answers.get(system)
  if (known !== undefined) return known
  const answer = isMisspelled(system) || isEarlier(system)
  answers.set(system, answer)
  return answer
}

/** Characters. No wrong spelling that is known has as many. */
const LONGEST = 200

const answers = new LRUCache<string, boolean>({ max: 1000 })

/** In small letters and without scheme, `www.` and slash at the end. */
const SPELLINGS: ReadonlySet<string> = new Set([
  'loinc',
  'loinc.org',
  'urn:oid:2.16.840.1.113883.6.1',
  '2.16.840.1.113883.6.1',
  'snomed',
  'snomedct',
  'snomed-ct',
  'snomed ct',
  'sct',
  'snomed.info',
  'snomed.info/sct',
  'snomed.org/sct',
  'ihtsdo.org/snomed-ct',
  'urn:oid:2.16.840.1.113883.6.96',
  '2.16.840.1.113883.6.96',
  'ucum',
  'ucum.org',
  'unitsofmeasure',
  'unitsofmeasure.org',
  'unitsofmeasure.org/ucum',
  'unitsofmeasure.org/ucum.html',
  'aurora.regenstrief.org/ucum',
  'urn:oid:2.16.840.1.113883.6.8',
  '2.16.840.1.113883.6.8',
])

function isMisspelled(system: string): boolean {
  const plain = system
    .trim()
    .toLowerCase()
    .replace(/^https?:\/\//, '')
    .replace(/^www\./, '')
    .replace(/\/$/, '')
  // An edition of SNOMED CT belongs into Coding.version. Source: FHIR R4 4.0.1 snomedct.html.
  return SPELLINGS.has(plain) || /^snomed\.info\/sct\/\d/.test(plain)
}

const MOVED: ReadonlySet<string> = new Set(MOVED_CODE_SYSTEMS)

const PRESENT = 'http://terminology.hl7.org/CodeSystem/'

/** R4 has no code system at all under `http://hl7.org/fhir/v2/` and `…/v3/`. */
function isEarlier(system: string): boolean {
  if (system.startsWith(PRESENT) && !system.endsWith('/')) return false
  const [, name = ''] = HL7.exec(system) ?? []
  return MOVED.has(name) || /^v[23][/-]\w+$/.test(name)
}

const HL7 = /^https?:\/\/(?:hl7\.org\/fhir|terminology\.hl7\.org\/CodeSystem)\/(.+?)\/?$/

/** Whether it is a value set of HL7's. */
export function isValueSetUri(system: string): boolean {
  return (
    system.startsWith('http://hl7.org/fhir/ValueSet/') ||
    system.startsWith('http://terminology.hl7.org/ValueSet/')
  )
}
