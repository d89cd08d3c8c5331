import type { Device, Observation, Provenance, Resource } from 'fhir/r4.js'
import { ownUrls } from './own-urls.ts'

/** Whether a resource is a mean of ours: of a period, or of a 24-hour recording. */
export function isMean(resource: Resource | undefined, canonicalBase: string): resource is Observation {
  if (!isObservation(resource)) return false
  const { average, recording } = ownUrls(canonicalBase).identifier
  const system = resource.identifier?.[0]?.system
  return system === average || system === recording
}

export function isObservation(resource: Resource | undefined): resource is Observation {
  return resource?.resourceType === 'Observation'
}

export function isProvenance(resource: Resource | undefined): resource is Provenance {
  return resource?.resourceType === 'Provenance'
}

export function isDevice(resource: Resource | undefined): resource is Device {
  return resource?.resourceType === 'Device'
}
