import jstat from 'jstat'
import { mean } from 'simple-statistics'
import type { PlacedReading } from '../averaging/period-average.ts'
import type { ThresholdSet } from '../protocol/threshold-set.ts'
import type { PressureName } from '../statistics/pressure-points.ts'
import { sampleDeviation } from '../statistics/sample-deviation.ts'
import { binomialTail } from './binomial-tail.ts'
import type { IntegritySignal } from './integrity-signal.ts'
import { probabilityText } from './probability-text.ts'
import { SIGNAL_LEVELS } from './signal-levels.ts'
import { typedWholeMmHg } from './typed-values.ts'

/**
 * Raised when typed whole-mmHg values crowd in the 2 mmHg just under a lower bound of a home threshold set, compared
 * with the 2 mmHg from the bound on. Exact binomial test against a half, or against what a bell curve through the
 * person's own mean and SD would put there when that is more: who lies under a threshold has more just under it.
 */
export function crowdingUnderThreshold(
  readings: readonly PlacedReading[],
  thresholdSets: readonly ThresholdSet[],
): readonly IntegritySignal[] {
  const bounds = (['systolic', 'diastolic'] as const).flatMap((pressure) =>
    homeBounds(thresholdSets, pressure).map((bound) => ({ pressure, bound })),
  )
  const level = SIGNAL_LEVELS.probability / bounds.length
  return bounds.flatMap(({ pressure, bound }) => {
    const crowd = crowdUnder(typedWholeMmHg(readings, pressure), bound)
    return crowd === undefined || crowd.probability >= level ? [] : [signal(crowd, pressure, bound)]
  })
}

interface Crowd {
  readonly under: number
  /** Values just under the bound and just at or above it. */
  readonly near: number
  readonly expectedShare: number
  readonly probability: number
}

function crowdUnder(values: readonly number[], bound: number): Crowd | undefined {
  const reach = SIGNAL_LEVELS.crowdingMmHg
  const under = values.filter((value) => bound - reach <= value && value < bound).length
  const above = values.filter((value) => bound <= value && value < bound + reach).length
  const expectedShare = shareUnder(values, bound)
  if (expectedShare === undefined) return undefined
  const near = under + above
  return { under, near, expectedShare, probability: binomialTail(under, near, expectedShare) }
}

/** Undefined where no bell curve can be drawn, or where it has next to nothing at the bound. */
function shareUnder(values: readonly number[], bound: number): number | undefined {
  const sd = sampleDeviation(values)
  if (sd === undefined || sd === 0) return undefined
  const centre = mean([...values])
  // Whole numbers stand for half a mmHg on either side.
  const upTo = (value: number) => jstat.jStat.normal.cdf(value - 0.5, centre, sd)
  const [low, middle, high] = [bound - SIGNAL_LEVELS.crowdingMmHg, bound, bound + SIGNAL_LEVELS.crowdingMmHg]
  const share = (upTo(middle) - upTo(low)) / (upTo(high) - upTo(low))
  return Number.isFinite(share) && share < 1 ? Math.max(0.5, share) : undefined
}

function homeBounds(sets: readonly ThresholdSet[], pressure: PressureName): readonly number[] {
  const key = pressure === 'systolic' ? 'systolicMmHg' : 'diastolicMmHg'
  const all = sets
    .filter(({ setting }) => setting === 'home')
    .flatMap(({ bands }) => bands.flatMap((band) => band[key] ?? []))
  return [...new Set(all)].sort((a, b) => a - b)
}

function signal(crowd: Crowd, pressure: PressureName, bound: number): IntegritySignal {
  const { under, near, expectedShare, probability } = crowd
  return {
    code: 'crowding-under-threshold',
    count: under,
    of: near,
    probability,
    test: 'exact-binomial',
    pressure,
    text:
      `${under} of ${near} typed ${pressure} values within ${SIGNAL_LEVELS.crowdingMmHg} mmHg of ${bound} lie just under ` +
      `it, where about ${Math.round(near * expectedShare)} would by chance (exact binomial test, probability ` +
      `${probabilityText(probability)}). Measuring again after a value above it may explain this, and so may rounding. ` +
      'In a Scottish cohort, typed values one below an alert of 135/85 were about one and a half times as likely as ' +
      'transferred ones.',
    citation: 'parker-2018',
    alsoCites: ['common-practice'],
  }
}
