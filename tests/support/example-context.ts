import { DEFAULT_CANONICAL_BASE } from '../../src/core/fhir/canonical-base.ts'
import type { ConversionContext } from '../../src/core/fhir/conversion-context.ts'
import { sessionUuid } from '../../src/core/fhir/identifiers.ts'

/** How the example session of `exampleSession` is converted for a clinic; any part can be replaced. */
export function exampleContext(changes: Partial<ConversionContext> = {}): ConversionContext {
  return {
    source: 'harbour-app',
    sessionUuid: sessionUuid('harbour-app', 's-2031'),
    canonicalBase: DEFAULT_CANONICAL_BASE,
    subject: { reference: 'Patient?identifier=https://clinic.example/mrn|4711', type: 'Patient' },
    positionAs: 'component-and-extension',
    snomed: false,
    ...changes,
  }
}

export const EXAMPLE_RECORD = { sha256: 'ab'.repeat(32), receivedAt: '2026-03-02T13:45:00Z' }
