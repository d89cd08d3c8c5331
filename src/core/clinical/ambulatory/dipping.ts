import type { ExactMean } from '../../basics/exact-mean.ts'
import type { Dipping, DippingClass } from './recording-average.ts'

/**
 * How far systolic falls from day to night, in per cent of the day, compared as a fraction: 135 to 121.5 is 10 %
 * exactly, and a dipper.
 *
 * Sources: HOPE Asia Network 2019, PMC8030405, table A5, has the ratio night over day with edges at 0.8, 0.9 and 1.0 and
 * leaves open where a value on an edge belongs. The common definition, from memory, puts it with the larger fall: from
 * 20 % extreme, from 10 % dipper, from 0 % non-dipper. That settles the edges here.
 *
 * @param day systolic mean in micropascals, above zero.
 */
export function dippingOf(day: ExactMean, night: ExactMean): Dipping {
  const dayTotal = day.total * night.count
  const percent = { total: 100n * (dayTotal - night.total * day.count), count: dayTotal }
  return { percent, class: classOf(percent) }
}

function classOf(percent: ExactMean): DippingClass {
  return CLASSES.find(({ from }) => percent.total >= from * percent.count)?.name ?? 'riser'
}

const CLASSES: readonly { readonly from: bigint; readonly name: DippingClass }[] = [
  { from: 20n, name: 'extreme dipper' },
  { from: 10n, name: 'dipper' },
  { from: 0n, name: 'non-dipper' },
]
