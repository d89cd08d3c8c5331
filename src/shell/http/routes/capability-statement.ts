import type {
  CapabilityStatement,
  CapabilityStatementRest,
  CapabilityStatementRestResource,
} from 'fhir/r4.d.ts'
import { PROFILE } from '../../../core/fhir/codes.ts'
import { ownUrls } from '../../../core/fhir/own-urls.ts'
import { SPOKEN_TYPES } from '../../../core/validation/spoken-types.ts'

/** The operation every type offers. Source: FHIR R4, OperationDefinition/Resource-validate. */
const VALIDATE = {
  name: 'validate',
  definition: 'http://hl7.org/fhir/OperationDefinition/Resource-validate',
} as const

/** Types of our own conformance resources, which can be read and looked up by URL. */
export const CONFORMANCE_TYPES = [
  'CapabilityStatement',
  'CodeSystem',
  'StructureDefinition',
  'ValueSet',
] as const

/**
 * What this endpoint offers, told as FHIR R4 wants it: validation of the resource types the gateway speaks, and our own
 * conformance resources. It holds no patients’ resources to read.
 * Source: FHIR R4 CapabilityStatement, invariants cpb-1, cpb-2, cpb-3 and cpb-14.
 *
 * @param date RFC 3339 text: since when this instance offers it.
 */
export function capabilityStatement(
  canonicalBase: string,
  version: string,
  date: string,
): CapabilityStatement {
  return {
    resourceType: 'CapabilityStatement',
    url: `${canonicalBase}/CapabilityStatement/gateway`,
    version,
    name: 'HomeBloodPressureGateway',
    title: 'Home blood pressure gateway',
    status: 'active',
    date,
    description:
      'Receives blood pressure measured at home and sends validated averages to a clinic’s server. This endpoint ' +
      'validates resources; it does not diagnose and is not an emergency service.',
    kind: 'instance',
    instantiates: [`${canonicalBase}/CapabilityStatement/home-bp-gateway`],
    software: { name: 'home-bp-gateway', version },
    implementation: { description: 'A gateway between home apps and a clinic’s FHIR server' },
    fhirVersion: '4.0.1',
    format: ['application/fhir+json', 'json'],
    rest: [servedRest(canonicalBase)],
  }
}

/** What any instance serves. */
export function servedRest(canonicalBase: string): CapabilityStatementRest {
  const profiles = supportedProfiles(canonicalBase)
  return {
    mode: 'server',
    documentation: 'Validates what it is handed and keeps none of it. Serves its own definitions.',
    resource: [...new Set([...SPOKEN_TYPES, ...CONFORMANCE_TYPES])].map((type) => servedType(type, profiles)),
    operation: [{ ...VALIDATE }],
  }
}

function servedType(
  type: ServedType,
  profiles: Readonly<Partial<Record<ServedType, string[]>>>,
): CapabilityStatementRestResource {
  const supportedProfile = profiles[type]
  return {
    type,
    ...(supportedProfile === undefined ? {} : { supportedProfile }),
    ...(CONFORMANCE_TYPES.some((one) => one === type) ? READABLE : {}),
    operation: [{ ...VALIDATE }],
  }
}

type ServedType = (typeof SPOKEN_TYPES)[number] | (typeof CONFORMANCE_TYPES)[number]

const READABLE: Pick<CapabilityStatementRestResource, 'interaction' | 'searchParam'> = {
  interaction: [{ code: 'read' }, { code: 'search-type' }],
  searchParam: [{ name: 'url', type: 'uri' }],
}

/** Published profiles that can be asked for, and our own, by the type they are about. */
function supportedProfiles(canonicalBase: string): Readonly<Partial<Record<ServedType, string[]>>> {
  const own = sentProfiles(canonicalBase)
  const published = [
    PROFILE.vitalSigns,
    PROFILE.bloodPressure,
    PROFILE.heartRate,
    PROFILE.usCoreVitalSigns,
    PROFILE.usCoreBloodPressure,
    PROFILE.usCoreHeartRate,
    PROFILE.usCoreAverage,
  ]
  return { ...own, Observation: [...published, ...own.Observation] }
}

/** Our own profiles of what is sent to a clinic, by the type they are about. */
export function sentProfiles(
  canonicalBase: string,
): Readonly<Record<'Observation' | 'Device' | 'Provenance', string[]>> {
  const { profile } = ownUrls(canonicalBase)
  return {
    Observation: [
      profile.homeReading,
      profile.homePulse,
      profile.monitorStatus,
      profile.periodAverage,
      profile.recordingAverage,
      profile.attention,
    ],
    Device: [profile.homeMonitor],
    Provenance: [profile.submissionProvenance, profile.averageProvenance],
  }
}
