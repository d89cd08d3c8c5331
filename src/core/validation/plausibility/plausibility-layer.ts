import type { Issue } from '../../basics/issue.ts'
import { MICROPASCALS_PER_MMHG } from '../../basics/pressure.ts'
import type { Layer } from '../layer.ts'
import { implausible } from './implausible.ts'
import { reportTimes } from './report-times.ts'
import { type FigureKind, type StatedFigure, statedFigures } from './stated-figures.ts'

/**
 * What R4 allows and cannot be: pressures and pulses outside the limits within which a session is taken in, a systolic
 * that is not above its diastolic, a time outside the years of home monitors or after the Observation was issued. All of
 * it warnings, as the standard forbids none. What was entered in error states nothing. Whatever is only doubtful passes:
 * what is judged here may be of people of every age.
 */
export const plausibilityLayer: Layer = (resource, at, report, errorsOnly, { container }) => {
  if (errorsOnly || resource.resourceType !== 'Observation' || resource.status === 'entered-in-error') return
  const figures = statedFigures(resource, at)
  if (figures.length === 0) return
  let systolic: StatedFigure | undefined
  let diastolic: StatedFigure | undefined
  let ofMeans = false
  for (let i = 0; i < figures.length; i++) {
    const figure = figures[i]
    if (figure === undefined) continue
    const { of, isMean } = figure.kind
    if (isOutside(figure)) report(outside(figure))
    if (of === 'systolic') systolic ??= figure
    if (of === 'diastolic') diastolic ??= figure
    ofMeans ||= isMean
  }
  if (systolic !== undefined && diastolic !== undefined && isNotAbove(systolic, diastolic))
    report(implausible(`${systolic.at}.value`, ...IN_ORDER))
  reportTimes(resource, at, container, ofMeans, report)
}

function isOutside({ kind: { of, limits, alsoMeant }, size }: StatedFigure): boolean {
  if (size === undefined || size === alsoMeant) return false
  const unit = of === 'pulse' ? 1 : MICROPASCALS_PER_MMHG
  return !(size >= limits.lowest * unit && size <= limits.highest * unit)
}

/** Two means that are less than their last digit apart may be written alike. */
function isNotAbove(systolic: StatedFigure, diastolic: StatedFigure): boolean {
  if (systolic.size === undefined || diastolic.size === undefined) return false
  return systolic.kind.isMean ? systolic.size < diastolic.size : systolic.size <= diastolic.size
}

function outside({ kind: { of, isMean, limits }, at }: StatedFigure): Issue {
  const what = `${isMean ? 'a mean ' : 'a '}${WORDS[of]}`
  const unit = of === 'pulse' ? 'beats per minute' : 'mmHg'
  const expected = `${what} from ${limits.lowest} to ${limits.highest} ${unit}, outside which a number is a mistake`
  return implausible(`${at}.value`, expected, 'Check the reading and the unit at the source.')
}

const WORDS: Readonly<Record<FigureKind['of'], string>> = {
  systolic: 'systolic pressure',
  diastolic: 'diastolic pressure',
  'mean-arterial': 'mean arterial pressure',
  pulse: 'pulse',
}

const IN_ORDER = [
  'a systolic pressure above the diastolic',
  'Check whether the two were exchanged, and the reading at the source.',
] as const
