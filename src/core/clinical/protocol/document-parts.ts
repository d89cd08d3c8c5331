import { z } from 'zod'

/** How far a source was read; the words of `citations.ts`. */
export const evidence = z
  .enum(['read', 'reported', 'memory', 'derived', 'common-practice'])
  .describe(
    'How far the source was read: read, reported by another, from memory, derived, or common practice',
  )

/** The name by which settings and other documents refer to this one. */
export const documentId = z
  .string()
  .regex(/^[a-z0-9][a-z0-9-]{1,62}$/, '2 to 63 lower-case letters, digits and hyphens')

export const settledHere = z
  .array(z.string().min(1))
  .default([])
  .describe('What the source leaves open and this file settles, each as a sentence')

/** Where a document’s rules are published, so that a reader can check them. */
export const citation = z.strictObject({ text: z.string().min(1), url: z.url().optional() })
