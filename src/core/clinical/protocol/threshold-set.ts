import { z } from 'zod'

/**
 * Bands of home averages as one named source draws them. A band begins at its lower bounds, inclusive, and the
 * worse of systolic and diastolic decides: the last band of which either bound is reached is the label.
 */
export const thresholdSetDocument = z.strictObject({
  $schema: z.string().optional(),
  id: z.string().regex(/^[a-z0-9][a-z0-9-]{1,62}$/),
  title: z.string().min(1).describe('Names the system and edition, as a label must'),
  citation: z.strictObject({ text: z.string().min(1), url: z.string().optional() }),
  evidence: z.enum(['read', 'reported', 'memory', 'derived', 'common-practice']),
  setting: z.enum(['home', 'clinic', 'ambulatory']),
  /** The label below the first band. */
  below: z.string().min(1),
  bands: z
    .array(z.strictObject({ label: z.string().min(1), systolicMmHg: z.number(), diastolicMmHg: z.number() }))
    .min(1),
})

export type ThresholdSet = z.output<typeof thresholdSetDocument>
