import { z } from 'zod'

/**
 * A measurement protocol as data: how often to measure, what the rule leaves out, and how the rest is averaged.
 * One file each in `profiles/protocols/`, published ones with their citation. A clinic's own file works the same way.
 */

const localMinute = z
  .string()
  .regex(/^(?:[01]\d|2[0-3]):[0-5]\d$|^24:00$/)
  .describe('Wall-clock time where the patient lives, 00:00 to 24:00')

const sittingWindow = z.strictObject({
  name: z.string().min(1).describe('morning, evening, or the protocol’s own word'),
  from: localMinute.describe('First minute of the window, inclusive'),
  to: localMinute.describe('End of the window, exclusive'),
})

const firstReading = z.union([
  z.literal('keep'),
  z.literal('drop'),
  z.strictObject({
    dropWhenHigherThanMeanOfOthersByMmHg: z
      .number()
      .positive()
      .describe('Left out when its systolic is more than this above the mean of the others in the sitting'),
  }),
])

export const protocolDocument = z.strictObject({
  $schema: z.string().optional(),
  id: z.string().regex(/^[a-z0-9][a-z0-9-]{1,62}$/),
  title: z.string().min(1),
  citation: z.strictObject({ text: z.string().min(1), url: z.string().optional() }),
  evidence: z.enum(['read', 'reported', 'memory', 'derived', 'common-practice']),
  /** What the source leaves open and this file settles, each as a sentence. */
  settledHere: z.array(z.string().min(1)).default([]),
  readingsPerSitting: z.int().min(1).max(10),
  gapSeconds: z.int().min(0).max(3600).describe('Least time between two readings of a sitting'),
  sittings: z.array(sittingWindow).min(1).max(12),
  days: z.strictObject({ least: z.int().min(1).max(366), ideal: z.int().min(1).max(366) }),
  leaveOut: z.strictObject({ firstDays: z.int().min(0).max(30), firstReading }),
  leastReadings: z.int().min(1).optional().describe('Usable minimum; absent when the source states none'),
  pooling: z.enum(['all-readings', 'mean-of-sitting-means']),
  thresholdSets: z.array(z.string().min(1)).min(1),
})

export type Protocol = z.output<typeof protocolDocument>
export type SittingWindow = Protocol['sittings'][number]
