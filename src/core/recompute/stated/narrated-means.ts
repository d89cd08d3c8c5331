import { isJsonObject } from '../../basics/json-object.ts'
import { LOINC, SYSTEM } from '../../fhir/codes.ts'
import { codesOf } from './codings.ts'
import type { FoundAverage } from './find-averages.ts'
import { sentencesOf } from './sentences.ts'

/** A mean as a sentence of an average’s text or notes says it, with its digits. */
export interface NarratedMean {
  readonly at: string
  /** The part of the day it is of; absent for the mean of the whole. */
  readonly window?: string
  readonly systolic: string
  readonly diastolic: string
}

/**
 * The means in the text and the notes of an average, where a sentence has the form that this gateway writes:
 * `clinical/report/period-narrative.ts` and `clinical/ambulatory/recording-narrative.ts`. Of any other sentence nothing
 * is known.
 */
export function narratedMeans(found: FoundAverage): readonly NarratedMean[] {
  const span = found.kind === 'recording' ? spanOf(found) : undefined
  return sentencesOf(found.average).flatMap(({ at, text }) =>
    found.kind === 'home' ? homeMeans(text, at) : recordingMeans(text, at, span),
  )
}

const PAIR = '(?<systolic>\\d+(?:\\.\\d)?)/(?<diastolic>\\d+(?:\\.\\d)?)'

/** Both are of all readings together; the second where the protocol keeps the parts of the day apart. */
const WHOLE = [
  new RegExp(`^Home average ${PAIR} mmHg, `),
  new RegExp(`; all of them together ${PAIR} mmHg\\.$`),
]

const APART = /^Home averages by part of the day: (.*?), \d{4}-\d\d-\d\d to /
const ONE_APART = new RegExp(`^(?<window>.+) ${PAIR} mmHg$`)
const ONE_BESIDE = new RegExp(`^(?<window>.+) ${PAIR} \\(\\d+ readings?\\)$`)

function homeMeans(text: string, at: string): readonly NarratedMean[] {
  const whole = WHOLE.flatMap((form) => meanIn(form, text, at))
  if (whole.length > 0) return whole
  const apart = APART.exec(text)?.[1]
  if (apart !== undefined) return apart.split(/, | and /).flatMap((one) => meanIn(ONE_APART, one, at))
  const parts = text.endsWith('.') ? text.slice(0, -1).split(', ') : []
  const beside = parts.flatMap((one) => meanIn(ONE_BESIDE, one, at))
  return beside.length === parts.length ? beside : []
}

function recordingMeans(text: string, at: string, span: string | undefined): readonly NarratedMean[] {
  return span !== undefined && text.startsWith(`${span}: `)
    ? meanIn(OF_RECORDING, text.slice(span.length + 2), at)
    : []
}

const OF_RECORDING = new RegExp(`^${PAIR} mmHg, mean of \\d+ readings?; `)

/** Each of our means of a recording carries the sentences of all of them: the words of its own. */
function spanOf({ average: { value } }: FoundAverage): string | undefined {
  if (codesOf(value.code, SYSTEM.loinc).includes(LOINC.twentyFourHourPanel.code)) return '24 hours'
  const { code } = value
  const codings: readonly unknown[] = isJsonObject(code) && Array.isArray(code.coding) ? code.coding : []
  const [own] = codings.flatMap((coding) => {
    if (!isJsonObject(coding)) return []
    return coding.code === 'day-mean' ? ['Day'] : coding.code === 'night-mean' ? ['Night'] : []
  })
  return own
}

function meanIn(form: RegExp, text: string, at: string): readonly NarratedMean[] {
  const groups = form.exec(text)?.groups
  if (groups?.systolic === undefined || groups.diastolic === undefined) return []
  const { window, systolic, diastolic } = groups
  return [{ at, systolic, diastolic, ...(window === undefined ? {} : { window }) }]
}
