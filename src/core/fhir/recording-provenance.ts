import type { Observation, Provenance, Reference } from 'fhir/r4.js'
import { averageProvenance } from './provenance.ts'
import type { RecordingContext } from './recording-context.ts'

/** Where the means of a recording come from: one Provenance for them all, the readings being in their derivedFrom. */
export function recordingProvenance(
  means: readonly Observation[],
  targets: readonly Reference[],
  context: RecordingContext,
): Provenance {
  const provenance = averageProvenance({}, context)
  const derivation = provenance.entity?.filter(({ role }) => role === 'derivation') ?? []
  const revised = context.revision === 1 ? [] : means.flatMap(({ identifier = [] }) => identifier)
  return {
    ...provenance,
    target: [...targets],
    entity: [
      ...derivation,
      ...revised.map((identifier) => ({
        role: 'revision' as const,
        what: { identifier, display: `Revision ${context.revision - 1} of this mean` },
      })),
    ],
  }
}
