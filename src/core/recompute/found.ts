import { isJsonObject, type JsonObject } from '../basics/json-object.ts'

/** An element or a resource with its FHIRPath. */
export interface Found {
  readonly value: JsonObject
  readonly at: string
}

/** The objects of a list, each with its path `at[0]`, `at[1]`; none when it is no list. */
export function foundIn(list: unknown, at: string): readonly Found[] {
  if (!Array.isArray(list)) return []
  return list.flatMap((value: unknown, place) =>
    isJsonObject(value) ? [{ value, at: `${at}[${place}]` }] : [],
  )
}

/** The text, undefined when it is none. */
export function textOf(value: unknown): string | undefined {
  return typeof value === 'string' ? value : undefined
}

/** The last part of a URL, without its version: `StructureDefinition/window-mean` of any base. */
export function urlEndsWith(url: unknown, ending: string): boolean {
  return typeof url === 'string' && url.endsWith(`/${ending}`)
}
