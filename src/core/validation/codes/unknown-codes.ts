import type { JsonObject } from '../../basics/json-object.ts'
import { OBSERVATION_CATEGORY, OBSERVATION_INTERPRETATION, PARTICIPANT_TYPE } from './code-systems.ts'
import { PUBLISHED_VALUE_SETS } from './value-sets.ts'

/**
 * How grave it is that a coding has a code its code system does not have: an error where R4 4.0.1 publishes every code
 * of the system; a warning where later editions have added some, or where the coding names an edition. Undefined when
 * the code is there or the system is not held.
 */
export function unknownCode({ system, code, version }: JsonObject): 'error' | 'warning' | undefined {
  if (typeof system !== 'string' || typeof code !== 'string') return undefined
  const content = PUBLISHED_VALUE_SETS.codeSystem(system)
  if (content === undefined || content.parents.has(code)) return undefined
  return isSettled(system) && version === undefined && !LATER[system]?.includes(code) ? 'error' : 'warning'
}

/**
 * Code systems that are part of FHIR itself have in R4 the codes that R4 gives them. Of those kept apart since, in
 * HL7 Terminology, these are known to have the same codes as in 4.0.1, those of `LATER` aside. Others there have grown:
 * `v3-MaritalStatus`, `v2-0203`, `usage-context-type`.
 */
function isSettled(system: string): boolean {
  return system.startsWith('http://hl7.org/fhir/') || SETTLED.has(system)
}

const SETTLED: ReadonlySet<string> = new Set([
  OBSERVATION_CATEGORY,
  OBSERVATION_INTERPRETATION,
  PARTICIPANT_TYPE,
  'http://terminology.hl7.org/CodeSystem/data-absent-reason',
  'http://terminology.hl7.org/CodeSystem/observation-statistics',
  'http://terminology.hl7.org/CodeSystem/audit-event-type',
  'http://terminology.hl7.org/CodeSystem/audit-entity-type',
  'http://terminology.hl7.org/CodeSystem/device-status-reason',
])

/** Codes added since. Source: US Core Provenance, which draws `transmitter` from a later HL7 Terminology. */
const LATER: Readonly<Record<string, readonly string[]>> = { [PARTICIPANT_TYPE]: ['transmitter'] }
