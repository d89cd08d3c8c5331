import type { Bundle, BundleEntry, Coding, Device, Observation, Provenance } from 'fhir/r4.js'
import type { Adornment, ProfileFamily } from '../registry/destination.ts'
import { PROFILE, SYSTEM } from './codes.ts'
import { type OwnUrls, ownUrls } from './own-urls.ts'

/** Whether a destination wants anything beside what resources say by themselves. */
export function asksForAdornment({ claims, tags, patientSupplied, identifiers }: Adornment): boolean {
  return claims.length > 0 || tags.length > 0 || patientSupplied || identifiers.length > 0
}

/** Each resource of a bundle of ours as `adornedResource` gives it; nothing else is touched. */
export function adornedBundle(bundle: Bundle, adornment: Adornment, canonicalBase: string): Bundle {
  const own = ownUrls(canonicalBase)
  const entry = bundle.entry?.map(
    (one): BundleEntry =>
      isSent(one.resource) ? { ...one, resource: adornedResource(one.resource, adornment, own) } : one,
  )
  return { ...bundle, ...(entry === undefined ? {} : { entry }) }
}

type Sent = Observation | Device | Provenance

function isSent(resource: BundleEntry['resource']): resource is Sent {
  const type = resource?.resourceType
  return type === 'Observation' || type === 'Device' || type === 'Provenance'
}

/**
 * A resource of ours with what a destination wants to find on it: profiles claimed, tags, further identifiers. What is
 * there already stays first, because we find our resources by their first identifier or tag. A profile is claimed only on
 * resources that are of its kind; whatever we send of a kind meets what is claimed on it.
 *
 * That the data come from the patient is said of Observations alone: of what is measured, not of who assembled it.
 * Source of that tag: HL7 US Core 8.0.0 and later, guidance on vital signs, patient-supplied data.
 */
export function adornedResource(resource: Sent, adornment: Adornment, own: OwnUrls): Sent {
  const { claims, tags, patientSupplied, identifiers } = adornment
  const kind = kindOf(resource, own)
  const { profile = [], tag = [], ...meta } = resource.meta ?? {}
  const claimed = new Set([...profile, ...claims.flatMap((family) => profilesOf(kind, family, own))])
  const isSupplied = patientSupplied && resource.resourceType === 'Observation'
  const tagged = [...tag, ...tags, ...(isSupplied ? [PATIENT_SUPPLIED] : [])]
  const adorned: Sent = {
    ...resource,
    meta: {
      ...(claimed.size === 0 ? {} : { profile: [...claimed] }),
      ...meta,
      ...(tagged.length === 0 ? {} : { tag: tagged }),
    },
  }
  if (Object.keys(adorned.meta ?? {}).length === 0) delete adorned.meta
  if (adorned.resourceType !== 'Provenance' && identifiers.length > 0) {
    adorned.identifier = [...(adorned.identifier ?? []), ...identifiers]
  }
  return adorned
}

const PATIENT_SUPPLIED: Coding = Object.freeze({ system: SYSTEM.usCoreTags, code: 'patient-supplied' })

type Kind = keyof OwnUrls['profile']

/** What a resource of ours is, told by its identifier, or by what its Provenance speaks of. */
function kindOf(resource: Sent, own: OwnUrls): Kind | undefined {
  if (resource.resourceType === 'Provenance') {
    const isOfAverages = resource.entity?.some(({ role }) => role === 'derivation') === true
    return isOfAverages ? 'averageProvenance' : 'submissionProvenance'
  }
  switch (resource.identifier?.[0]?.system) {
    case own.identifier.reading:
      return 'homeReading'
    case own.identifier.pulse:
      return 'homePulse'
    case own.identifier.monitorStatus:
      return 'monitorStatus'
    case own.identifier.device:
      return 'homeMonitor'
    case own.identifier.average:
      return 'periodAverage'
    case own.identifier.recording:
      return 'recordingAverage'
    case own.identifier.attention:
      return 'attention'
    default:
      return undefined
  }
}

/** Profiles of a published family, by what they are about. Sources: FHIR R4 4.0.1; HL7 US Core 7.0.0 and later. */
const PUBLISHED: Readonly<
  Record<Exclude<ProfileFamily, 'own'>, Readonly<Partial<Record<Kind, readonly string[]>>>>
> = {
  'us-core': {
    homeReading: [PROFILE.usCoreBloodPressure],
    homePulse: [PROFILE.usCoreHeartRate],
    periodAverage: [PROFILE.usCoreAverage],
  },
  'vital-signs': {
    homeReading: [PROFILE.vitalSigns, PROFILE.bloodPressure],
    homePulse: [PROFILE.vitalSigns, PROFILE.heartRate],
  },
}

function profilesOf(kind: Kind | undefined, family: ProfileFamily, own: OwnUrls): readonly string[] {
  if (kind === undefined) return []
  return family === 'own' ? [own.profile[kind]] : (PUBLISHED[family][kind] ?? [])
}
