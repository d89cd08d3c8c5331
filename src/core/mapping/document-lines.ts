import { findNodeAtLocation, type Node, parseTree } from 'jsonc-parser'
import { withoutByteOrderMark } from '../json-text/read-json.ts'

/** Steps from the top of a document to a place in it: keys and 0-based indexes. */
export type DocumentPath = readonly (string | number)[]

/** On which lines of its file the places of a JSON document stand. */
export class DocumentLines {
  readonly #root: Node | undefined
  readonly #lineStarts: readonly number[]

  /** @param text of the file, which is JSON. */
  constructor(text: string) {
    const json = withoutByteOrderMark(text)
    this.#root = parseTree(json)
    this.#lineStarts = lineStartsOf(json)
  }

  /** The 1-based line on which a place begins, or the nearest one around it that is there. */
  of(path: DocumentPath): number {
    for (let steps = path.length; steps > 0 && this.#root !== undefined; steps--) {
      const node = findNodeAtLocation(this.#root, path.slice(0, steps))
      if (node !== undefined)
        return this.#lineAt((node.parent?.type === 'property' ? node.parent : node).offset)
    }
    return 1
  }

  #lineAt(offset: number): number {
    let low = 0
    let high = this.#lineStarts.length - 1
    while (low < high) {
      const middle = (low + high + 1) >> 1
      if ((this.#lineStarts[middle] ?? 0) <= offset) low = middle
      else high = middle - 1
    }
    return low + 1
  }
}

function lineStartsOf(text: string): readonly number[] {
  const starts = [0]
  for (let at = text.indexOf('\n'); at !== -1; at = text.indexOf('\n', at + 1)) starts.push(at + 1)
  return starts
}

/** The place as a JSON pointer. Source: RFC 6901 section 3. */
export function pointerOf(path: DocumentPath): string {
  return path.map((step) => `/${String(step).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
}
