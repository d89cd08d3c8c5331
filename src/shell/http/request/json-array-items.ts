/**
 * Cuts the text of a JSON array into the texts of its items, so that each record is kept as it was written. Only
 * brackets and strings are looked at; whether an item is JSON is for its reader to say.
 *
 * @returns undefined when the text is not one closed array.
 */
export function jsonArrayItems(text: string): readonly string[] | undefined {
  const body = text.trim()
  if (!body.startsWith('[') || !body.endsWith(']')) return undefined
  const items: string[] = []
  let depth = 0
  let start = 1
  for (let place = 0; place < body.length; place += 1) {
    switch (body.charCodeAt(place)) {
      case QUOTE:
        place = endOfString(body, place)
        if (place === -1) return undefined
        break
      case OPEN_BRACKET:
      case OPEN_BRACE:
        depth += 1
        break
      case CLOSE_BRACE:
        depth -= 1
        break
      case CLOSE_BRACKET:
        depth -= 1
        if (depth !== 0) break
        if (place !== body.length - 1) return undefined
        items.push(body.slice(start, place).trim())
        return items.length === 1 && items[0] === '' ? [] : items
      case COMMA:
        if (depth !== 1) break
        items.push(body.slice(start, place).trim())
        start = place + 1
        break
    }
    if (depth < 1) return undefined
  }
  return undefined
}

const QUOTE = 0x22
const COMMA = 0x2c
const OPEN_BRACKET = 0x5b
const BACKSLASH = 0x5c
const CLOSE_BRACKET = 0x5d
const OPEN_BRACE = 0x7b
const CLOSE_BRACE = 0x7d

/** Place of the closing quote, or -1. */
function endOfString(text: string, opening: number): number {
  let quote = text.indexOf('"', opening + 1)
  while (quote !== -1) {
    let slashes = 0
    while (text.charCodeAt(quote - 1 - slashes) === BACKSLASH) slashes += 1
    if (slashes % 2 === 0) return quote
    quote = text.indexOf('"', quote + 1)
  }
  return -1
}
