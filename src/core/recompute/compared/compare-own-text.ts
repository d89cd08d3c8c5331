import { isJsonObject } from '../../basics/json-object.ts'
import { OWN_EXTENSIONS } from '../../fhir/own-urls.ts'
import type { AverageDifference } from '../recomputed-average.ts'
import type { FoundAverage } from '../stated/find-averages.ts'
import { type NarratedMean, narratedMeans } from '../stated/narrated-means.ts'
import { type OwnStatements, partOf } from '../stated/own-statements.ts'
import { statedMeans } from '../stated/stated-average.ts'
import { unitOf } from '../stated/stated-pressure.ts'

type Which = 'systolic' | 'diastolic'

/** The value that a sentence repeats; without a number where the average says that there is none. */
interface Repeated {
  readonly at: string
  readonly mmHg?: number
}

/**
 * Each mean that the text or a note tells in the form of this gateway beside the value it repeats. What both of them tell
 * wrongly is told once, and nothing of a value that was found wrong itself.
 *
 * @param wrong FHIRPaths of the statements that are known not to follow from the readings.
 */
export function compareOwnText(
  found: FoundAverage,
  own: OwnStatements | undefined,
  wrong: ReadonlySet<string>,
): readonly AverageDifference[] {
  const differences = new Map<string, AverageDifference>()
  for (const narrated of narratedMeans(found)) {
    for (const which of ['systolic', 'diastolic'] as const) {
      const value = repeatedBy(narrated, which, found, own)
      const said = narrated[which]
      if (value === undefined || value.mmHg === Number(said) || wrong.has(value.at)) continue
      const part =
        narrated.window === undefined ? '' : ` of a part of the day (${narrated.window.toLowerCase()})`
      const what = `mean ${which}${part} in its own words`
      const key = `${what} ${said}`
      if (differences.has(key)) continue
      const expected =
        value.mmHg === undefined ? 'none, as it states no mean' : `${value.mmHg} mmHg, as it states`
      differences.set(key, { what, at: narrated.at, expected, found: `${said} mmHg` })
    }
  }
  return [...differences.values()]
}

/** Undefined where the average states nothing of it in mmHg. */
function repeatedBy(
  { window }: NarratedMean,
  which: Which,
  found: FoundAverage,
  own: OwnStatements | undefined,
): Repeated | undefined {
  if (window !== undefined) return ofWindow(window, which, own)
  const stated = statedMeans(found).find(({ pressure }) => pressure === which)
  if (stated === undefined || stated.unit !== 'mmHg') return undefined
  return { at: stated.at, ...(stated.value === undefined ? {} : { mmHg: stated.value }) }
}

function ofWindow(window: string, which: Which, own: OwnStatements | undefined): Repeated | undefined {
  const mean = own?.extensions.get(OWN_EXTENSIONS.windowMean)?.find((one) => {
    const name = partOf(one, 'window')?.value.valueString
    return typeof name === 'string' && name.toLowerCase() === window.toLowerCase()
  })
  const part = mean === undefined ? undefined : partOf(mean, which)
  const quantity = part?.value.valueQuantity
  if (part === undefined || !isJsonObject(quantity) || unitOf(quantity) !== 'mmHg') return undefined
  return typeof quantity.value === 'number' ? { at: `${part.at}.value`, mmHg: quantity.value } : undefined
}
