import type { ExactMean } from '../../basics/exact-mean.ts'

/**
 * Mean arterial pressure by the usual estimate, (systolic + 2 x diastolic) / 3, exact, in micropascals.
 *
 * It is derived, not measured. A monitor that reports its own measured it by another way, need not agree, and is
 * never overwritten by this. Source: HL7 Personal Health Device guide, whose example 116/71 carries 86.
 */
export function meanArterialPressure(mean: {
  readonly systolic: ExactMean
  readonly diastolic: ExactMean
}): ExactMean {
  const { systolic, diastolic } = mean
  return {
    total: systolic.total * diastolic.count + 2n * diastolic.total * systolic.count,
    count: 3n * systolic.count * diastolic.count,
  }
}
