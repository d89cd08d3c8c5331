import type { Layer } from '../layer.ts'
import { bundleInvariants } from './bundle.ts'
import { capabilityStatementInvariants, codeSystemInvariants, valueSetInvariants } from './conformance.ts'
import { domainResourceInvariants } from './domain-resource.ts'
import { invariantIssue, type ResourceInvariant } from './invariant.ts'
import { observationInvariants } from './observation.ts'
import { structureDefinitionInvariants } from './structure-definition.ts'

/** The invariants of whole resources that have some beside those of every DomainResource. */
const OF_TYPES: Readonly<Record<string, readonly ResourceInvariant[]>> = {
  Observation: [...domainResourceInvariants, ...observationInvariants],
  Bundle: bundleInvariants,
  StructureDefinition: [...domainResourceInvariants, ...structureDefinitionInvariants],
  ValueSet: [...domainResourceInvariants, ...valueSetInvariants],
  CodeSystem: [...domainResourceInvariants, ...codeSystemInvariants],
  CapabilityStatement: [...domainResourceInvariants, ...capabilityStatementInvariants],
  Binary: [],
  Parameters: [],
}

/** The invariants of a resource of this type as a whole. Those of its elements are asked by the walk in `elements`. */
export function resourceInvariants(type: string): readonly ResourceInvariant[] {
  return Object.hasOwn(OF_TYPES, type) ? (OF_TYPES[type] ?? []) : domainResourceInvariants
}

/** R4 invariants of the resource as a whole. */
export const invariantsLayer: Layer = (resource, at, report, errorsOnly) => {
  for (const rule of resourceInvariants(resource.resourceType)) {
    if (errorsOnly && rule.severity === 'warning') continue
    if (rule.holds(resource)) continue
    if (rule.where === undefined) report(invariantIssue(rule, at))
    else for (const path of rule.where(resource)) report(invariantIssue(rule, `${at}.${path}`))
  }
}
