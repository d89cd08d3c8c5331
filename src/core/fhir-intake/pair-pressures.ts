import { isJsonObject, type JsonObject } from '../basics/json-object.ts'

/** An Observation that is one pressure alone, or anything else. */
interface Measuring {
  readonly resource: JsonObject
  readonly measures?: 'panel' | 'systolic' | 'diastolic'
}

/**
 * Which diastolic Observation goes with which systolic one, where a source sends the two apart: they are of the same
 * subject and the very same `effectiveDateTime`, and there is one of each. Where there are more, nobody can say which
 * belong together, and all stay alone.
 */
export function pairedPressures<T extends Measuring>(all: readonly T[]): ReadonlyMap<T, T> {
  const apart = new Map<string, { systolic: T[]; diastolic: T[] }>()
  for (const one of all) {
    const { measures, resource } = one
    if (measures !== 'systolic' && measures !== 'diastolic') continue
    const moment = momentOf(resource)
    if (moment === undefined) continue
    const there = apart.get(moment) ?? { systolic: [], diastolic: [] }
    there[measures].push(one)
    apart.set(moment, there)
  }
  const pairs = new Map<T, T>()
  for (const { systolic, diastolic } of apart.values()) {
    const [upper, lower] = [systolic[0], diastolic[0]]
    if (systolic.length !== 1 || diastolic.length !== 1 || upper === undefined || lower === undefined)
      continue
    pairs.set(upper, lower)
  }
  return pairs
}

/** Whose pressure it is and when it was taken, as one text. */
function momentOf({ subject, effectiveDateTime }: JsonObject): string | undefined {
  if (!isJsonObject(subject) || typeof effectiveDateTime !== 'string') return undefined
  const identifier = isJsonObject(subject.identifier) ? subject.identifier : {}
  return JSON.stringify([subject.reference, identifier.system, identifier.value, effectiveDateTime])
}
