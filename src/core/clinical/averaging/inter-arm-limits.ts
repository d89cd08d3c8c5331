import type { InterArmLimit } from './period-average.ts'

/**
 * Limits for a difference between the arms, in mmHg, each as its source has it; a difference is above one when it is
 * more, either way. They were drawn for readings at the clinic. 20 is common practice, and NICE's limit before 2019.
 */
export const INTER_ARM_LIMITS = [
  { citation: 'nice-ng136-arms', limitMmHg: 15, systolicOnly: false },
  { citation: 'nice-cg127-arms', limitMmHg: 20, systolicOnly: false },
  { citation: 'esc-esh-2018-arms', limitMmHg: 15, systolicOnly: false },
  { citation: 'esc-2024-arms-memory', limitMmHg: 10, systolicOnly: false },
  { citation: 'ish-2020-arms-memory', limitMmHg: 10, systolicOnly: false },
  { citation: 'ish-2020-arms-memory', limitMmHg: 20, systolicOnly: false },
  { citation: 'hypertension-canada-arms', limitMmHg: 10, systolicOnly: true },
  { citation: 'acc-aha-2017-arms', limitMmHg: 10, systolicOnly: false },
  { citation: 'common-practice', limitMmHg: 20, systolicOnly: false },
] as const satisfies readonly Omit<InterArmLimit, 'above'>[]
