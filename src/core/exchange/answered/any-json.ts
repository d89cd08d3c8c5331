/** The items of a list; none when it is no list. */
export function itemsOf(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : []
}

/** Undefined for what is no JSON. */
export function parsedJson(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
