import { z } from 'zod'
import { citation, documentId, evidence, settledHere } from './document-parts.ts'

const localMinute = z
  .string()
  .regex(/^(?:[01]\d|2[0-3]):[0-5]\d$/, 'a wall-clock time from 00:00 to 23:59')
  .describe('Wall-clock time where the patient lives, 00:00 to 23:59')

/**
 * How a 24-hour recording is judged and averaged by one named source: one file each in `profiles/recording-rules/`.
 * A clinic's own file works the same way.
 */
export const recordingRuleDocument = z.strictObject({
  $schema: z.string().optional(),
  id: documentId,
  title: z.string().min(1),
  citation,
  evidence,
  settledHere,
  day: z
    .strictObject({ from: localMinute, to: localMinute })
    .describe('The day without a diary: from inclusive, to exclusive; the night is the rest'),
  valid: z
    .strictObject({
      leastShareOfAttempts: z.number().min(0).max(1).optional(),
      leastDayReadings: z.int().min(1).optional(),
      leastNightReadings: z.int().min(1).optional(),
    })
    .describe('What makes a recording valid; absent where the source states none'),
  averaged: z
    .array(z.enum(['24-hours', 'day', 'night']))
    .min(1)
    .describe('Which means the source works out'),
  thresholdSets: z
    .array(documentId)
    .describe('Ids of threshold sets for ambulatory means; each is compared with the mean it is drawn for'),
})

export type RecordingRule = z.output<typeof recordingRuleDocument>
