import type { ExactMean } from '../../../core/basics/exact-mean.ts'
import type { SweptAverage, SweptMean } from '../../../flow/ports/ports.ts'

/**
 * A batch of averages as one list of numbers and few texts: what one thread hands to another is copied piece by piece,
 * and a hundred thousand small objects would take longer to copy than to average.
 */
export interface PackedBatch {
  /** Names of the source and the windows, then the subjects. */
  readonly source: string
  readonly windows: readonly string[]
  readonly subjects: readonly string[]
  /**
   * By person: 1 where linked, received, used, days, count of means, means; a mean: place of its window or `ALL`, readings,
   * two fractions.
   */
  readonly numbers: Float64Array<ArrayBuffer>
  /** Parts of fractions that a double cannot hold; `numbers` has NaN in their place. */
  readonly large: readonly bigint[]
}

/** In place of a window: the mean of all. */
const ALL = -1

/** @param batch averages of one source, at least one. */
export function packBatch(batch: readonly SweptAverage[]): PackedBatch {
  const windows: string[] = []
  const numbers: number[] = []
  const large: bigint[] = []
  const addPart = (part: bigint) => {
    const number = Number(part)
    if (Number.isSafeInteger(number)) numbers.push(number)
    else {
      numbers.push(Number.NaN)
      large.push(part)
    }
  }
  const addMean = (window: number, { systolic, diastolic, readings }: SweptMean) => {
    numbers.push(window, readings)
    for (const { total, count } of [systolic, diastolic]) {
      addPart(total)
      addPart(count)
    }
  }
  for (const { linked, received, used, days, mean, byWindow } of batch) {
    numbers.push(linked ? 1 : 0, received, used, days, byWindow.length + (mean === undefined ? 0 : 1))
    if (mean !== undefined) addMean(ALL, mean)
    for (const one of byWindow) {
      if (!windows.includes(one.window)) windows.push(one.window)
      addMean(windows.indexOf(one.window), one)
    }
  }
  const subjects = batch.map(({ subject }) => subject)
  return { source: batch[0]?.source ?? '', windows, subjects, numbers: Float64Array.from(numbers), large }
}

export function unpackBatch({ source, windows, subjects, numbers, large }: PackedBatch): SweptAverage[] {
  let at = 0
  let atLarge = 0
  const next = () => numbers[at++] ?? 0
  const nextPart = () => {
    const number = next()
    return Number.isNaN(number) ? (large[atLarge++] ?? 0n) : BigInt(number)
  }
  const nextFraction = (): ExactMean => ({ total: nextPart(), count: nextPart() })
  const nextMean = (): SweptMean => {
    const readings = next()
    return { systolic: nextFraction(), diastolic: nextFraction(), readings }
  }
  return subjects.map((subject) => {
    const linked = next() === 1
    const counts = { received: next(), used: next(), days: next() }
    const byWindow: (SweptMean & { readonly window: string })[] = []
    let mean: SweptMean | undefined
    for (let left = next(); left > 0; left -= 1) {
      const place = next()
      if (place === ALL) mean = nextMean()
      else byWindow.push({ window: windows[place] ?? '', ...nextMean() })
    }
    return { source, subject, linked, ...counts, ...(mean === undefined ? {} : { mean }), byWindow }
  })
}
