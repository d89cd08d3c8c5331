import { z } from 'zod'
import { citation, documentId, evidence } from './document-parts.ts'

/**
 * Bands of home averages as one named source draws them. A band begins at its lower bounds, inclusive, and the
 * worse of systolic and diastolic decides: the last band of which either bound is reached is the label.
 */

const bound = z.number().min(20).max(300).multipleOf(0.1).optional()

const band = z
  .strictObject({
    label: z.string().min(1),
    systolicMmHg: bound.describe('Lower bound, inclusive; absent when the band has none'),
    diastolicMmHg: bound.describe('Lower bound, inclusive; absent when the band has none'),
  })
  .refine(({ systolicMmHg, diastolicMmHg }) => systolicMmHg !== undefined || diastolicMmHg !== undefined, {
    error: 'a systolic or a diastolic lower bound',
  })

const bands = z
  .array(band)
  .min(1)
  .refine((all) => rises(all.map((one) => one.systolicMmHg)), {
    error: 'systolic bounds that rise from band to band',
  })
  .refine((all) => rises(all.map((one) => one.diastolicMmHg)), {
    error: 'diastolic bounds that rise from band to band',
  })

export const thresholdSetDocument = z.strictObject({
  $schema: z.string().optional(),
  id: documentId,
  title: z.string().min(1).describe('Names the system and edition, as a label must'),
  citation,
  evidence,
  setting: z
    .enum(['home', 'clinic', 'ambulatory-24-hours', 'ambulatory-day', 'ambulatory-night'])
    .describe('Which mean the bands are drawn for'),
  below: z.string().min(1).describe('The label of a mean that reaches no band'),
  bands: bands.describe('From the lowest to the highest'),
})

export type ThresholdSet = z.output<typeof thresholdSetDocument>
export type Band = ThresholdSet['bands'][number]

function rises(bounds: readonly (number | undefined)[]): boolean {
  const stated = bounds.filter((one) => one !== undefined)
  return stated.every((one, at) => at === 0 || one > (stated[at - 1] ?? Number.POSITIVE_INFINITY))
}
