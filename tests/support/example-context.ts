import type { Session } from '../../src/core/clinical/session.ts'
import { DEFAULT_CANONICAL_BASE } from '../../src/core/fhir/canonical-base.ts'
import type { ConversionContext } from '../../src/core/fhir/conversion-context.ts'
import { sessionUuid } from '../../src/core/fhir/identifiers.ts'
import type { SubmittedRecord } from '../../src/core/fhir/submitted-record.ts'

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

/** The submission of a session as it was first received. */
export const EXAMPLE_RECORD: SubmittedRecord = {
  sha256: 'ab'.repeat(32),
  receivedAt: '2026-03-11T08:00:00Z',
  version: 1,
  withdrawn: false,
  earlier: [],
}

/** The same after it was corrected, or taken back, once or more. */
export function laterRecord(earlier: readonly Session[], withdrawn = false): SubmittedRecord {
  return {
    sha256: 'cd'.repeat(32),
    receivedAt: '2026-03-11T09:00:00Z',
    version: earlier.length + 1,
    withdrawn,
    earlier,
  }
}
