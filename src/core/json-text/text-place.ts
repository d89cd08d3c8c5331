/** Where something stands in a text; both are 1-based. */
export interface TextPlace {
  readonly line: number
  readonly column: number
}

/**
 * The place in words: `line 3, column 7`. In a text that is one line, such as a record of NDJSON, `column 7` alone, for
 * which line of its file it is stands beside it.
 */
export function textPlaceAt(text: string, offset: number): string {
  const before = text.slice(0, offset)
  const column = `column ${offset - before.lastIndexOf('\n')}`
  return text.includes('\n') ? `line ${before.split('\n').length}, ${column}` : column
}

/** The place that words of `textPlaceAt` name; undefined for others. */
export function textPlaceIn(words: string): TextPlace | undefined {
  const [, line = '1', column] = /^(?:line (\d+), )?column (\d+)$/.exec(words) ?? []
  return column === undefined ? undefined : { line: Number(line), column: Number(column) }
}
