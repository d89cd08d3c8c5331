import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'

/** What a FHIR server says it can do, as far as it matters here. `undefined` where its statement says nothing. */
export interface ServerAbilities {
  /** `fhirVersion` of the statement. */
  readonly fhirVersion?: string
  /** `transaction` among the interactions of the whole system. */
  readonly transaction: boolean
  readonly types: Readonly<Record<SentType | 'Patient', TypeAbilities>>
}

/** The types we send. */
export const SENT_TYPES = ['Device', 'Observation', 'Provenance'] as const
export type SentType = (typeof SENT_TYPES)[number]

export interface TypeAbilities {
  /** Whether the statement lists the type at all. */
  readonly listed: boolean
  readonly create: boolean
  readonly read: boolean
  readonly update: boolean
  readonly search: boolean
  /** Names of the search parameters listed for it. */
  readonly searchParameters: readonly string[]
  readonly conditionalCreate: boolean
  /** Whether a PUT may make a resource under an id of ours. */
  readonly updateCreate: boolean
  readonly versioning: 'no-version' | 'versioned' | 'versioned-update' | 'not-said'
}

/** What the one harmless probe of a destination showed; see `probe.ts`. */
export type Probed = 'atomic' | 'not-atomic' | 'refused' | 'not-asked'

/**
 * Reads a CapabilityStatement. Undefined when it is none, or not of R4 (`fhirVersion` 4.0.x), or has no `rest` of mode
 * server. Never throws, whatever its shape.
 *
 * What is said of all types counts for each: interactions and search parameters of the whole system are R4's way to say
 * what holds everywhere. Where a type is listed twice, what either says holds.
 * Source: FHIR R4 4.0.1 capabilitystatement.html.
 */
export function readAbilities(statement: unknown): ServerAbilities | undefined {
  if (!isJsonObject(statement) || statement.resourceType !== 'CapabilityStatement') return undefined
  const { fhirVersion } = statement
  if (fhirVersion !== undefined && !isR4(fhirVersion)) return undefined
  const rest = objectsOf(statement.rest).filter(({ mode }) => mode === 'server')
  if (rest.length === 0) return undefined
  const listed = rest.flatMap(({ resource }) => objectsOf(resource))
  const everywhere = rest.flatMap(({ searchParam }) => namesOf(searchParam))
  const typed = (type: string) =>
    typeAbilities(
      listed.filter((one) => one.type === type),
      everywhere,
    )
  return {
    ...(typeof fhirVersion === 'string' ? { fhirVersion } : {}),
    transaction: rest.some(({ interaction }) => codesOf(interaction).includes('transaction')),
    types: {
      Device: typed('Device'),
      Observation: typed('Observation'),
      Provenance: typed('Provenance'),
      Patient: typed('Patient'),
    },
  }
}

function isR4(fhirVersion: unknown): boolean {
  return typeof fhirVersion === 'string' && /^4\.0(?:[.-]|$)/.test(fhirVersion)
}

function typeAbilities(listed: readonly JsonObject[], everywhere: readonly string[]): TypeAbilities {
  const interactions = new Set(listed.flatMap(({ interaction }) => codesOf(interaction)))
  const isSaid = (flag: string) => listed.some((one) => one[flag] === true)
  const own = listed.flatMap(({ searchParam }) => namesOf(searchParam))
  return {
    listed: listed.length > 0,
    create: interactions.has('create'),
    read: interactions.has('read'),
    update: interactions.has('update'),
    search: interactions.has('search-type'),
    searchParameters: listed.length === 0 ? [] : [...new Set([...own, ...everywhere])],
    conditionalCreate: isSaid('conditionalCreate'),
    updateCreate: isSaid('updateCreate'),
    versioning: versioningOf(listed),
  }
}

function versioningOf(listed: readonly JsonObject[]): TypeAbilities['versioning'] {
  const said = VERSIONING.find((policy) => listed.some(({ versioning }) => versioning === policy))
  return said ?? 'not-said'
}

/** R4 versioning-policy, the most that is asked of a client first. */
const VERSIONING = ['versioned-update', 'versioned', 'no-version'] as const

function codesOf(interactions: unknown): readonly unknown[] {
  return objectsOf(interactions).map(({ code }) => code)
}

function namesOf(searchParameters: unknown): readonly string[] {
  return objectsOf(searchParameters)
    .map(({ name }) => name)
    .filter((name) => typeof name === 'string')
}
