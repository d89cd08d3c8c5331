import { z } from 'zod'
import {
  type AttentionLimits,
  DEFAULT_ATTENTION_LIMITS,
  type PairLimit,
} from '../../../core/clinical/attention/attention-limits.ts'
import type { CitationId } from '../../../core/clinical/citations.ts'

/**
 * From where on a reading is brought to the clinic ahead of everything else, as plain numbers in mmHg. What a
 * deployment does not set is the gateway's own default, with its source; what it sets is its local practice.
 */

const DEFAULTS = DEFAULT_ATTENTION_LIMITS

const mmHg = (least: number, most: number) => z.number().min(least).max(most).multipleOf(0.1)

const pairLimit = ({ systolicMmHg, diastolicMmHg }: PairLimit) =>
  z
    .strictObject({
      systolicMmHg: mmHg(20, 300).default(systolicMmHg),
      diastolicMmHg: mmHg(20, 300).default(diastolicMmHg),
    })
    .prefault({})

export const attentionSettings = z
  .strictObject({
    /** At or above either. */
    high: pairLimit(DEFAULTS.high),
    /** Below either. */
    low: pairLimit(DEFAULTS.low),
    irregularPulse: z
      .strictObject({
        sittings: z.int().min(1).max(100).default(DEFAULTS.irregularPulse.sittings),
        withinDays: z.int().min(1).max(366).default(DEFAULTS.irregularPulse.withinDays),
      })
      .prefault({}),
    /** More than this between the arms, either way. */
    armsDifferMmHg: mmHg(1, 100).default(DEFAULTS.armsDiffer.mmHg),
    /** A fall of at least so much on standing. */
    fallOnStanding: z
      .strictObject({
        systolicMmHg: mmHg(1, 100).default(DEFAULTS.fallOnStanding.systolicMmHg),
        diastolicMmHg: mmHg(1, 100).default(DEFAULTS.fallOnStanding.diastolicMmHg),
        withinMinutes: z.int().min(1).max(120).default(DEFAULTS.fallOnStanding.withinMinutes),
      })
      .prefault({}),
  })
  .check((context) => {
    const { high, low } = context.value
    for (const key of ['systolicMmHg', 'diastolicMmHg'] as const) {
      if (low[key] < high[key]) continue
      context.issues.push({
        code: 'custom',
        input: low[key],
        path: ['low', key],
        message: `less than attention.high.${key}`,
      })
    }
  })

export type AttentionSettings = z.output<typeof attentionSettings>

/** The limits the checks use. A group of numbers that differs from the default cites local practice. */
export function attentionLimits(settings: AttentionSettings): AttentionLimits {
  const { high, low, irregularPulse, armsDifferMmHg, fallOnStanding } = settings
  return {
    high: cited(high, DEFAULTS.high),
    low: cited(low, DEFAULTS.low),
    irregularPulse: cited(irregularPulse, DEFAULTS.irregularPulse),
    armsDiffer: cited({ mmHg: armsDifferMmHg }, DEFAULTS.armsDiffer),
    fallOnStanding: cited(fallOnStanding, DEFAULTS.fallOnStanding),
  }
}

function cited<Limit extends Readonly<Record<string, number>>>(
  chosen: Limit,
  published: { readonly [Key in keyof Limit]: number } & { readonly citation: CitationId },
): Limit & { readonly citation: CitationId } {
  const asPublished = Object.keys(chosen).every((key) => chosen[key] === published[key])
  return { ...chosen, citation: asPublished ? published.citation : 'local-practice' }
}
