import { groupedBy } from '../../basics/grouped-by.ts'
import { isCalendarDayText } from '../../basics/instant.ts'
import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { daysBetween, type LocalDay } from '../../basics/local-day.ts'
import type { Arm } from '../../clinical/session.ts'
import { type Found, foundIn } from '../found.ts'
import type { FoundAverage } from './find-averages.ts'
import type { ReadingLink } from './stated-average.ts'

/** What an average says about itself in our own extensions, under whatever canonical base. */
export interface OwnStatements {
  readonly base: string
  readonly protocol?: { readonly id: string; readonly at: string }
  readonly firstDay: LocalDay
  readonly lastDay: LocalDay
  readonly zone: string
  readonly arm?: Arm
  readonly exclusions: readonly Exclusion[]
  /** The average’s extensions, by the last part of their URL under the base. */
  readonly extensions: ReadonlyMap<string, readonly Found[]>
}

/** A reading that the average says it leaves out. */
export interface Exclusion extends ReadingLink {
  readonly reason: string
  readonly reasonAt: string
}

/** A plan of more days is none. */
export const MOST_DAYS = 366

/** Undefined for an average that does not carry our `measurement-period`, or not in full. */
export function ownStatements({ average, scope }: FoundAverage): OwnStatements | undefined {
  const all = foundIn(average.value.extension, `${average.at}.extension`)
  for (const one of all) {
    const base = baseOf(one.value.url, 'measurement-period')
    const plan = base === undefined ? undefined : planIn(one)
    if (base === undefined || plan === undefined) continue
    const extensions = extensionsUnder(base, all)
    const exclusions = (extensions.get('exclusion') ?? []).map((exclusion) =>
      exclusionOf(exclusion, { average, scope }),
    )
    return { base, ...plan, exclusions, extensions }
  }
  return undefined
}

/** A part of an extension by its name, with its path. */
export function partOf(extension: Found, name: string): Found | undefined {
  return foundIn(extension.value.extension, `${extension.at}.extension`).find(
    ({ value }) => value.url === name,
  )
}

function baseOf(url: unknown, name: string): string | undefined {
  const ending = `/StructureDefinition/${name}`
  return typeof url === 'string' && url.endsWith(ending) ? url.slice(0, -ending.length) : undefined
}

function extensionsUnder(base: string, all: readonly Found[]): ReadonlyMap<string, readonly Found[]> {
  const start = `${base}/StructureDefinition/`
  const own = all.filter(({ value: { url } }) => typeof url === 'string' && url.startsWith(start))
  return groupedBy(own, ({ value: { url } }) => String(url).slice(start.length))
}

function planIn(extension: Found): Omit<OwnStatements, 'base' | 'exclusions' | 'extensions'> | undefined {
  const { firstDay, lastDay, zone, arm } = valuesOf(extension.value)
  if (!isDay(firstDay) || !isDay(lastDay) || typeof zone !== 'string') return undefined
  const days = daysBetween(firstDay, lastDay)
  if (days < 0 || days >= MOST_DAYS) return undefined
  const protocol = partOf(extension, 'protocol')
  const id = protocol?.value.valueString
  return {
    firstDay,
    lastDay,
    zone,
    ...(protocol === undefined || typeof id !== 'string'
      ? {}
      : { protocol: { id, at: `${protocol.at}.value` } }),
    ...(arm === 'left' || arm === 'right' ? { arm } : {}),
  }
}

function valuesOf({ extension }: JsonObject) {
  const parts = new Map(objectsOf(extension).map((part) => [part.url, part]))
  return {
    firstDay: parts.get('firstDay')?.valueDate,
    lastDay: parts.get('lastDay')?.valueDate,
    zone: parts.get('zone')?.valueString,
    arm: parts.get('arm')?.valueCode,
  }
}

function isDay(value: unknown): value is LocalDay {
  return typeof value === 'string' && isCalendarDayText(value)
}

function exclusionOf(
  extension: Found,
  { average, scope }: Pick<FoundAverage, 'average' | 'scope'>,
): Exclusion {
  const reading = partOf(extension, 'reading')
  const reason = partOf(extension, 'reason')
  const coding = reason?.value.valueCoding
  const code = isJsonObject(coding) ? coding.code : undefined
  return {
    at: extension.at,
    target: scope.resolve(reading?.value.valueReference, average),
    reason: typeof code === 'string' ? code : '',
    reasonAt: reason === undefined ? extension.at : `${reason.at}.value.code`,
  }
}
