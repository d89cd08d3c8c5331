import {
  abilitiesOf,
  type ClinicBehaviour,
  SERVED_TYPES,
  type StatedAbilities,
  type TypeAbilities,
} from './clinic-behaviour.ts'
import { SEARCH_PARAMETERS } from './search-criteria.ts'

/**
 * What the server says it can do: the truth, and over it what it was told to say. Source: FHIR R4 4.0.1
 * capabilitystatement.html.
 */
export function capabilityStatement(behaviour: ClinicBehaviour, base: string): object {
  const { stated, statement } = behaviour
  const types = stated.types ?? SERVED_TYPES.filter((type) => abilitiesOf(behaviour, type) !== undefined)
  const rest = {
    mode: 'server',
    resource: types.map((type) => resourceOf(type, behaviour)),
    interaction: [
      ...((stated.transaction ?? behaviour.transaction !== 'off') ? [{ code: 'transaction' }] : []),
      ...((stated.batch ?? behaviour.batch) ? [{ code: 'batch' }] : []),
    ],
  }
  return {
    resourceType: 'CapabilityStatement',
    status: 'active',
    date: '2026-03-01',
    kind: 'instance',
    implementation: { description: 'A played clinic’s server', url: base },
    fhirVersion: statement === 'stu3' ? '3.0.2' : '4.0.1',
    format: ['application/fhir+json'],
    ...(statement === 'without-rest' ? {} : { rest: [rest] }),
  }
}

function resourceOf(type: string, behaviour: ClinicBehaviour): object {
  const { stated } = behaviour
  const can: TypeAbilities = { ...(abilitiesOf(behaviour, type) ?? behaviour), ...typeAbilitiesIn(stated) }
  const codes = [
    ...(can.read ? ['read'] : []),
    ...(can.history ? ['vread', 'history-instance'] : []),
    ...(can.create ? ['create'] : []),
    ...(can.update ? ['update'] : []),
    ...(can.search === 'off' ? [] : ['search-type']),
  ]
  const parameters = stated.searchParameters ?? (can.search === 'off' ? [] : SEARCH_PARAMETERS)
  return {
    type,
    interaction: codes.map((code) => ({ code })),
    versioning: stated.versioning ?? VERSIONING[behaviour.ifMatch],
    readHistory: can.history,
    updateCreate: can.updateCreate,
    conditionalCreate: can.conditionalCreate,
    conditionalUpdate: can.conditionalUpdate,
    searchParam: parameters
      .filter((name) => type !== 'Provenance' || name !== 'identifier')
      .map((name) => ({ name, type: PARAMETER_TYPE[name] ?? 'token' })),
  }
}

const VERSIONING = { honoured: 'versioned', ignored: 'no-version', required: 'versioned-update' } as const

const PARAMETER_TYPE: Readonly<Record<string, string>> = { patient: 'reference', subject: 'reference' }

/** Without the keys of `StatedAbilities` that are about the whole server. */
function typeAbilitiesIn(stated: Partial<StatedAbilities>): Partial<TypeAbilities> {
  const { transaction: _t, batch: _b, versioning: _v, types: _l, searchParameters: _s, ...ofTypes } = stated
  return ofTypes
}
