import type { Extension } from 'fhir/r4.js'
import { OWN_EXTENSIONS } from '../fhir/own-urls.ts'
import type { Valued } from './observed-value.ts'

/** A value of one of our extensions, as an OBX under a code of ours. */
export interface OwnValue {
  /** At most 20 characters, as much as CE.1 holds in 2.5.1 (from memory: HL7 v2.5.1 section 2.A.3). */
  readonly code: string
  readonly text: string
  /** OBX-4: the window of a window's mean, else which of several under this code, from 1. */
  readonly subId: string
  readonly value: Valued
}

/**
 * What our extensions say of a reading or an average, one value after the other: setting, plan, whether it was enough,
 * labels, the means of windows and without flagged readings, the arms, the statistics. The mean of a window has a code
 * of its own: under 96608-5 it could be filed as the mean. Left out are the readings that were left out and the limits
 * for a difference between arms: the notes tell of both in words.
 */
export function ownValues(extensions: readonly Extension[]): readonly OwnValue[] {
  const found = extensions.flatMap(valuesOf)
  const counted = new Map<string, number>()
  return found.map(({ code, text, window, value }) => {
    const count = (counted.get(code) ?? 0) + 1
    counted.set(code, count)
    return { code, text, subId: window ?? String(count), value }
  })
}

interface Found {
  readonly code: string
  readonly text: string
  readonly window?: string
  readonly value: Valued
}

const NO_MARK = { code: '', text: '' }

function valuesOf(extension: Extension): readonly Found[] {
  const parts = extension.extension ?? []
  switch (/\/StructureDefinition\/([a-z0-9-]+)$/.exec(extension.url)?.[1]) {
    case OWN_EXTENSIONS.measurementSetting:
      return [{ code: 'measurement-setting', text: 'Where it was measured', value: extension }]
    case OWN_EXTENSIONS.readingsReceived:
      return [{ code: 'readings-received', text: 'Readings received', value: extension }]
    case OWN_EXTENSIONS.meanPulse:
      return [{ code: 'mean-pulse', text: 'Pulse mean', value: extension }]
    case OWN_EXTENSIONS.averageLabel:
      return [labelOf(parts, NO_MARK)]
    case OWN_EXTENSIONS.windowMean: {
      const window = textOf(parts, 'window')
      const rest = parts.filter(({ url }) => url !== 'window')
      return each(rest, { code: 'window-mean.', text: `Mean of ${window}: ` }).map((value) => ({
        ...value,
        window,
      }))
    }
    case OWN_EXTENSIONS.sensitivity:
      return each(parts, { code: 'sensitivity.', text: 'Without flagged readings: ' })
    case OWN_EXTENSIONS.interArmDifference:
      return each(
        parts.filter(({ url }) => url !== 'limit'),
        { code: 'arms.', text: 'Between arms: ' },
      )
    case OWN_EXTENSIONS.averageStatistics:
      return parts.flatMap(({ url, extension: of = [] }) =>
        url === 'systolic'
          ? each(of, { code: 'S.', text: 'Systolic: ' })
          : each(of, { code: 'D.', text: 'Diastolic: ' }),
      )
    case OWN_EXTENSIONS.measurementPeriod:
    case OWN_EXTENSIONS.sufficiency:
    case OWN_EXTENSIONS.adherence:
      return each(parts, NO_MARK)
    default:
      return []
  }
}

/** Parts under a common mark before their codes and names. */
function each(parts: readonly Extension[], mark: { code: string; text: string }): readonly Found[] {
  return parts.flatMap((part) => {
    if (part.url === 'label') return [labelOf(part.extension ?? [], mark)]
    const code = `${mark.code}${SHORT.get(part.url) ?? part.url}`
    const text = `${mark.text}${words(part.url)}`
    return part.extension === undefined
      ? [{ code, text, value: part }]
      : each(part.extension, { code: `${code}.`, text: `${text}, ` })
  })
}

/** Part names that would make a code longer than CE.1 holds. */
const SHORT: ReadonlyMap<string, string> = new Map([
  ['systolic', 'sys'],
  ['diastolic', 'dia'],
  ['readings', 'n'],
  ['diastolicReadings', 'dia-n'],
  ['flaggedReadings', 'flagged'],
])

/** `morningLessEvening` as `morning less evening`, `sdReadings` as `SD readings`. */
function words(part: string): string {
  return part
    .replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`)
    .replace(/\b(?:sd|cv|arv)\b/g, (name) => name.toUpperCase())
}

/** A label and the threshold set that gives it, in one text. */
function labelOf(parts: readonly Extension[], mark: { code: string; text: string }): Found {
  const window = textOf(parts, 'window')
  const of = window === '' ? '' : ` (${window})`
  return {
    code: `${mark.code}label`,
    text: `${mark.text}label`,
    value: { valueString: `${textOf(parts, 'title')}${of}: ${textOf(parts, 'label')}` },
  }
}

function textOf(parts: readonly Extension[], url: string): string {
  return parts.find((part) => part.url === url)?.valueString ?? ''
}
