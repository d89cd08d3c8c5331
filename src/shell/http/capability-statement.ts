import type { CapabilityStatement } from 'fhir/r4.d.ts'
import { SPOKEN_TYPES } from '../../core/validation/spoken-types.ts'

/** The operation every type offers. Source: FHIR R4, OperationDefinition/Resource-validate. */
const VALIDATE = {
  name: 'validate',
  definition: 'http://hl7.org/fhir/OperationDefinition/Resource-validate',
} as const

/**
 * What this endpoint offers, told as FHIR R4 wants it: validation of the resource types the gateway speaks. It holds
 * no patients’ resources to read. Source: FHIR R4 CapabilityStatement, invariants cpb-1, cpb-2, cpb-3 and cpb-14.
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
    kind: 'instance',
    description:
      'Receives blood pressure measured at home and sends validated averages to a clinic’s server. This endpoint ' +
      'validates resources; it does not diagnose and is not an emergency service.',
    software: { name: 'home-bp-gateway', version },
    implementation: { description: 'A gateway between home apps and a clinic’s FHIR server' },
    fhirVersion: '4.0.1',
    format: ['application/fhir+json', 'json'],
    rest: [
      {
        mode: 'server',
        resource: SPOKEN_TYPES.map((type) => ({ type, operation: [{ ...VALIDATE }] })),
        operation: [{ ...VALIDATE }],
      },
    ],
  }
}
