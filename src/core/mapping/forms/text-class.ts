/**
 * What a text is made of, never what it says: `empty`, `a text of digits and a comma`. For messages about values that
 * may be health data.
 */
export function textClass(text: string): string {
  if (text === '') return 'empty'
  const looked = text.slice(0, MOST_LOOKED_AT)
  const found = CLASSES.filter(([, pattern]) => pattern.test(looked)).map(([name]) => name)
  const last = found.pop()
  return `a text of ${found.length === 0 ? last : `${found.join(', ')} and ${last}`}`
}

/** A longer text is told by its beginning. */
const MOST_LOOKED_AT = 200

const CLASSES: readonly (readonly [name: string, pattern: RegExp])[] = [
  ['digits', /\d/],
  ['letters', /\p{L}/u],
  ['a point', /\./],
  ['a comma', /,/],
  ['a slash', /\//],
  ['a colon', /:/],
  ['a hyphen', /-/],
  ['a plus', /\+/],
  ['blanks', /\s/],
  ['other signs', /[^\d\p{L}.,/:\-+\s]/u],
]
