import { R4_BASE } from '../r4-base.ts'
import { lastSegment } from './structure-definition.ts'

/**
 * The resource types that references to some profiles may lead to; undefined when the type of one profile is not known.
 *
 * @param typeOf the type of a profile in the set.
 */
export function targetTypesOf(
  urls: readonly string[],
  typeOf: (url: string) => string | undefined,
): readonly string[] | undefined {
  const types: string[] = []
  for (const url of urls) {
    const type = typeOf(url) ?? typeByUrl(url)
    if (type === undefined) return undefined
    if (!types.includes(type)) types.push(type)
  }
  return types
}

/** R4's own types; and of US Core, whose profiles of a whole type are called after it: `us-core-patient`. */
function typeByUrl(url: string): string | undefined {
  const name = lastSegment(url)
  if (url === R4_BASE + name && /^[A-Z]/.test(name)) return name
  return url === US_CORE + name ? US_CORE_TYPES[name] : undefined
}

const US_CORE = 'http://hl7.org/fhir/us/core/StructureDefinition/'

/** Source: US Core 9.0.0, the profiles its vital signs refer to. */
const US_CORE_TYPES: Readonly<Record<string, string>> = {
  'us-core-patient': 'Patient',
  'us-core-practitioner': 'Practitioner',
  'us-core-practitionerrole': 'PractitionerRole',
  'us-core-organization': 'Organization',
  'us-core-careteam': 'CareTeam',
  'us-core-relatedperson': 'RelatedPerson',
}
