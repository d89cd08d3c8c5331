/** A JSON object of which nothing is known yet. */
export type JsonObject = Readonly<Record<string, unknown>>

export function isJsonObject(value: unknown): value is JsonObject {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

/** The items of a list that are objects; none when it is not a list. */
export function objectsOf(value: unknown): readonly JsonObject[] {
  if (!Array.isArray(value)) return NONE
  for (let i = 0; i < value.length; i++) if (!isJsonObject(value[i])) return value.filter(isJsonObject)
  return value
}

const NONE: readonly JsonObject[] = []
