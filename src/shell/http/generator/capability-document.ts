import type { CapabilityStatement, CapabilityStatementRest } from 'fhir/r4.d.ts'
import { DEFAULT_CANONICAL_BASE } from '../../../core/fhir/canonical-base.ts'
import { narrativeText } from '../../../core/fhir/narrative-text.ts'
import { sentProfiles, servedRest } from '../routes/capability-statement.ts'

/**
 * What the gateway needs of a clinic’s server, and what it serves, for one who has to judge it before it runs anywhere.
 * Source: FHIR R4 CapabilityStatement, invariant cpb-15: of kind capability, with software and no implementation.
 */
export function capabilityDocument(): CapabilityStatement {
  return {
    resourceType: 'CapabilityStatement',
    id: 'home-bp-gateway',
    text: narrativeText([TITLE, DESCRIPTION]),
    url: `${DEFAULT_CANONICAL_BASE}/CapabilityStatement/home-bp-gateway`,
    version: '0.1.0',
    name: 'HomeBpGatewayCapabilities',
    title: TITLE,
    status: 'active',
    experimental: false,
    date: '2026-11-25',
    description: DESCRIPTION,
    kind: 'capability',
    software: { name: 'home-bp-gateway' },
    fhirVersion: '4.0.1',
    format: ['application/fhir+json', 'json'],
    rest: [sentRest(), servedRest(DEFAULT_CANONICAL_BASE)],
  }
}

const TITLE = 'What the home blood pressure gateway sends and serves'
const DESCRIPTION =
  'As a client it posts one transaction at a time to a clinic’s server, each resource by conditional create or update ' +
  'under an identifier of its own, so that sending again makes nothing twice. As a server it validates resources and ' +
  'serves its own definitions. It does not diagnose and is not an emergency service.'

/** Source: FHIR R4 http.html, transaction, conditional create, conditional update and conditional references. */
function sentRest(): CapabilityStatementRest {
  const sent = sentProfiles(DEFAULT_CANONICAL_BASE)
  return {
    mode: 'client',
    documentation:
      'All of it in transactions. It reads nothing from the clinic’s server and searches only by what stands in them.',
    resource: [
      {
        type: 'Observation',
        supportedProfile: sent.Observation,
        interaction: [{ code: 'create' }, { code: 'update' }],
        conditionalCreate: true,
        conditionalUpdate: true,
        searchParam: [{ name: 'identifier', type: 'token' }],
      },
      {
        type: 'Device',
        supportedProfile: sent.Device,
        interaction: [{ code: 'create' }],
        conditionalCreate: true,
        searchParam: [{ name: 'identifier', type: 'token' }],
      },
      {
        type: 'Provenance',
        supportedProfile: sent.Provenance,
        interaction: [{ code: 'create' }],
        conditionalCreate: true,
        searchParam: [{ name: '_tag', type: 'token' }],
      },
      {
        type: 'Patient',
        documentation:
          'Never written: the patient is named by a conditional reference that must match exactly one.',
        searchParam: [{ name: 'identifier', type: 'token' }],
      },
    ],
    interaction: [{ code: 'transaction' }],
  }
}
