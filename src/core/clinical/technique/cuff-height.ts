import type { SittingCheck } from '../check.ts'
import type { Finding, Range } from '../finding.ts'
import { EFFECTS } from './effects.ts'
import { columnMmHg, QUOTED_MMHG_PER_CM } from './hydrostatic-column.ts'
import type { TechniqueContext } from './technique-context.ts'
import { asFinding } from './technique-finding.ts'

/**
 * A cuff below the heart carries the weight of the blood above it and reads HIGH; above the heart it reads LOW.
 * (The opposite is often said.) Systolic and diastolic shift alike.
 *
 * A height that moves the numbers by less than the one mmHg a monitor can show is no finding: local choice.
 */
export const cuffHeight: SittingCheck<TechniqueContext> = (session) => {
  const aboveHeartCm = session.conditions.cuffHeight?.relativeToHeartCm
  if (aboveHeartCm === undefined) return undefined
  const heightCm = Math.abs(aboveHeartCm)
  if (heightCm * QUOTED_MMHG_PER_CM < SMALLEST_SHOWN_MMHG) return undefined
  return heightFinding(aboveHeartCm < 0 ? 'below' : 'above', heightCm)
}

const SMALLEST_SHOWN_MMHG = 1

function heightFinding(side: 'below' | 'above', heightCm: number): Finding {
  const code = side === 'below' ? 'cuff-below-heart' : 'cuff-above-heart'
  const reads = side === 'below' ? 'high' : 'low'
  const about = toTenth(heightCm * QUOTED_MMHG_PER_CM)
  const column = columnMmHg(heightCm)
  const size: Range =
    side === 'below' ? [toTenth(column[0]), toTenth(column[1])] : [-toTenth(column[1]), -toTenth(column[0])]
  const effect = EFFECTS[code]
  const trials = effect.note === undefined ? '' : `; ${effect.note}`
  return asFinding(
    code,
    `The cuff was ${heightCm} cm ${side} the heart, which makes both numbers read ${reads} by about ${QUOTED_MMHG_PER_CM} mmHg per cm (about ${about} mmHg${trials}); the reading is kept as measured.`,
    { ...effect, size: { systolic: size, diastolic: size } },
  )
}

function toTenth(mmHg: number): number {
  return Math.round(mmHg * 10) / 10
}
