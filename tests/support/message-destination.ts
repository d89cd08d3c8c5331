import type { MessageDestination } from '../../src/core/registry/destination.ts'

/** An HL7 v2 receiver of the invented clinic; any part can be replaced. */
export function messageDestination(changes: Partial<MessageDestination> = {}): MessageDestination {
  return {
    kind: 'hl7v2',
    name: 'clinic-messages',
    readings: 'at-once',
    positionAs: 'component-and-extension',
    snomed: false,
    decimals: 1,
    attention: 'at-once',
    findings: {},
    thresholdSets: [],
    adornment: { claims: [], tags: [], patientSupplied: false, identifiers: [] },
    host: '127.0.0.1',
    port: 2575,
    sender: { application: 'BPGW', facility: 'HOMEBP' },
    receiver: { application: 'EHR', facility: 'CLINIC' },
    authority: 'CLINIC',
    version: '2.5.1',
    processing: 'P',
    settledBy: 'commit',
    ...changes,
  }
}
