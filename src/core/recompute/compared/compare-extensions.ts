import type { Extension } from 'fhir/r4.js'
import { groupedBy } from '../../basics/grouped-by.ts'
import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import { decimalsOf } from '../figure-text.ts'
import { type Found, foundIn } from '../found.ts'
import type { AverageDifference } from '../recomputed-average.ts'

/** An extension as it should be: with the digits the average is written with, and with one digit after the point. */
export interface ExpectedExtension {
  readonly asWritten: Extension
  readonly finer: Extension
}

/**
 * Every part of an extension beside what it should be, each difference at its own place. Parts are matched by name and,
 * where a name repeats, by order.
 *
 * @param what the statement in words: "mean of the morning".
 */
export function compareExtension(
  what: string,
  stated: Found,
  { asWritten, finer }: ExpectedExtension,
): readonly AverageDifference[] {
  const value = comparedValue(what, stated, asWritten, finer)
  const parts = foundIn(stated.value.extension, `${stated.at}.extension`)
  const byName = grouped(parts)
  const differences = [...value]
  const seen = new Map<string, number>()
  const finerParts = finer.extension ?? []
  for (const [place, part] of (asWritten.extension ?? []).entries()) {
    const nth = seen.get(part.url) ?? 0
    seen.set(part.url, nth + 1)
    const name = `${what}, ${inWords(part.url)}`
    const found = byName.get(part.url)?.[nth]
    if (found === undefined) {
      differences.push({ what: name, at: stated.at, expected: valueText(part), found: 'nothing' })
      continue
    }
    differences.push(...compareExtension(name, found, { asWritten: part, finer: finerParts[place] ?? part }))
  }
  for (const [name, found] of byName) {
    for (const extra of found.slice(seen.get(name) ?? 0)) {
      differences.push({
        what: `${what}, ${inWords(name)}`,
        at: extra.at,
        expected: 'nothing',
        found: valueText(extra.value),
      })
    }
  }
  return differences
}

function comparedValue(
  what: string,
  { value: stated, at }: Found,
  asWritten: Extension,
  finer: Extension,
): readonly AverageDifference[] {
  const expected = simpleValue(asWritten)
  if (expected === undefined) return []
  const found = simpleValue(stated)
  if (found !== undefined && isSame(found, expected)) return []
  const inFull = simpleValue(finer)
  if (found !== undefined && inFull !== undefined && isFiner(found, expected) && isSame(found, inFull))
    return []
  return [
    {
      what,
      at: `${at}.value`,
      expected: textOf(expected),
      found: found === undefined ? 'nothing' : textOf(found),
    },
  ]
}

/** A value with its unit, where it has one. */
interface Simple {
  readonly value: string | number | boolean
  readonly unit?: string
}

function simpleValue(extension: JsonObject | Extension): Simple | undefined {
  for (const [key, value] of Object.entries(extension)) {
    if (!key.startsWith('value')) continue
    if (typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean') return { value }
    if (!isJsonObject(value)) return undefined
    const { code } = value
    if (typeof value.value === 'number')
      return { value: value.value, ...(typeof code === 'string' ? { unit: code } : {}) }
    return typeof code === 'string' ? { value: code } : undefined
  }
  return undefined
}

function isSame(a: Simple, b: Simple): boolean {
  return a.value === b.value && a.unit === b.unit
}

/** Whether a statement carries more digits than the average is written with. */
function isFiner(found: Simple, expected: Simple): boolean {
  return (
    typeof found.value === 'number' &&
    typeof expected.value === 'number' &&
    decimalsOf(found.value) > decimalsOf(expected.value)
  )
}

function valueText(extension: JsonObject | Extension): string {
  const simple = simpleValue(extension)
  return simple === undefined ? 'a statement of several parts' : textOf(simple)
}

function textOf({ value, unit }: Simple): string {
  return unit === undefined ? String(value) : `${value} ${READ_AS[unit] ?? unit}`
}

const READ_AS: Readonly<Record<string, string>> = { 'mm[Hg]': 'mmHg', '/min': 'per minute' }

function grouped(parts: readonly Found[]): ReadonlyMap<string, readonly Found[]> {
  return groupedBy(parts, ({ value: { url } }) => (typeof url === 'string' ? url : 'a part without a name'))
}

/** A name as it is written in an extension, in words: `leastDays` is "least days". */
function inWords(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`)
}
