/** A JSON object of which nothing is known yet. Only its own members are ever looked at, by fixed names. */
export type JsonObject = Readonly<Record<string, unknown>>

export function isJsonObject(value: unknown): value is JsonObject {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

/** The items of a list; none when it is no list. */
export function itemsOf(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : []
}

/** The items of a list that are objects. */
export function objectsOf(value: unknown): readonly JsonObject[] {
  return itemsOf(value).filter(isJsonObject)
}

/** Undefined for what is no JSON. */
export function parsedJson(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
