import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { exists } from '../exists.ts'
import type { ResourceInvariant } from './invariant.ts'
import { repeatedTexts } from './repeated-texts.ts'

/** The two lists of elements of a StructureDefinition. */
export type View = 'snapshot' | 'differential'

export function elementsOf(definition: JsonObject, view: View): readonly JsonObject[] {
  const held = definition[view]
  return isJsonObject(held) ? objectsOf(held.element) : []
}

export function allElements(definition: JsonObject): readonly JsonObject[] {
  return [...elementsOf(definition, 'snapshot'), ...elementsOf(definition, 'differential')]
}

export function pathsOf(definition: JsonObject, view: View): readonly unknown[] {
  return elementsOf(definition, view).map(({ path }) => path)
}

export function placesOf(view: View, places: readonly number[]): readonly string[] {
  return places.map((i) => `${view}.element[${i}]`)
}

export function whichBreak(
  elements: readonly JsonObject[],
  holds: (element: JsonObject) => boolean,
): number[] {
  return elements.flatMap((element, i) => (holds(element) ? [] : [i]))
}

export function isRoot({ path }: JsonObject): boolean {
  return typeof path === 'string' && !path.includes('.')
}

/** A rule of each element of both views. */
export function everyElement(
  key: string,
  human: string,
  holds: (element: JsonObject) => boolean,
): ResourceInvariant {
  return {
    key,
    severity: 'error',
    human,
    remedy: 'Correct the element.',
    holds: (definition) => allElements(definition).every(holds),
    where: (definition) =>
      (['snapshot', 'differential'] as const).flatMap((view) =>
        placesOf(view, whichBreak(elementsOf(definition, view), holds)),
      ),
  }
}

export function uniqueIds(key: string, view: View): ResourceInvariant {
  const ids = (definition: JsonObject) => elementsOf(definition, view).map(({ id }) => id)
  return {
    key,
    severity: 'error',
    human: `an id of its own on each element of the ${view}`,
    remedy: 'Give each element its own id.',
    holds: (definition) => ids(definition).every(exists) && repeatedTexts(ids(definition)).length === 0,
    where: (definition) => {
      const missing = whichBreak(elementsOf(definition, view), ({ id }) => exists(id))
      return placesOf(view, [...missing, ...repeatedTexts(ids(definition))])
    },
  }
}
