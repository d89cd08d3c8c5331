import type { Layer } from '../layer.ts'
import type { SpokenType } from '../spoken-types.ts'
import { bundleInvariants } from './bundle.ts'
import { domainResourceInvariants } from './domain-resource.ts'
import { invariantIssue, type ResourceInvariant } from './invariant.ts'
import { observationInvariants } from './observation.ts'

/** The invariants of whole resources, by type. */
export const RESOURCE_INVARIANTS: Readonly<Record<SpokenType, readonly ResourceInvariant[]>> = {
  Observation: [...domainResourceInvariants, ...observationInvariants],
  Bundle: bundleInvariants,
  Patient: domainResourceInvariants,
  Device: domainResourceInvariants,
  Provenance: domainResourceInvariants,
  OperationOutcome: domainResourceInvariants,
  AuditEvent: domainResourceInvariants,
}

/** R4 invariants of the resource as a whole; those of its elements are asked by the walk in `elements`. */
export const invariantsLayer: Layer = (resource, at, report, errorsOnly) => {
  for (const rule of RESOURCE_INVARIANTS[resource.resourceType]) {
    if (errorsOnly && rule.severity === 'warning') continue
    if (rule.holds(resource)) continue
    if (rule.where === undefined) report(invariantIssue(rule, at))
    else for (const path of rule.where(resource)) report(invariantIssue(rule, `${at}.${path}`))
  }
}
