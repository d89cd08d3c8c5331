import { readFileSync, statSync } from 'node:fs'
import type { Issue } from '../../../core/basics/issue.ts'
import { withoutByteOrderMark } from '../../../core/json-text/read-json.ts'
import { textPlaceIn } from '../../../core/json-text/text-place.ts'
import { JsonPlaces } from './json-places.ts'
import type { RecordPlace } from './read-records.ts'
import { STANDARD_INPUT } from './resource-files.ts'

/** Where in its file an issue stands; the column is known in JSON files only. Both are 1-based. */
export interface IssueLine {
  readonly line: number
  readonly column?: number
}

/** Largest file, in bytes, that is opened a second time to find lines: its tree takes some ten times as much memory. */
const MOST_BYTES = 33_554_432

/**
 * Finds the lines of issues. In NDJSON it is the line of the resource; in a JSON file, which is opened again, it is the
 * line of the element. Ask for the issues of one file after the other: only one file is kept at a time.
 */
export class IssuePlaces {
  #file: string | undefined
  #places: JsonPlaces | undefined

  /** Undefined on standard input and in a file too large to open again. */
  of({ file, line, item }: RecordPlace, { at }: Issue): IssueLine | undefined {
    const told = textPlaceIn(at)
    if (line !== undefined) return told === undefined ? { line } : { ...told, line }
    if (told !== undefined) return told
    if (file === STANDARD_INPUT) return undefined
    return this.#placesIn(file)?.of(at, item)
  }

  #placesIn(file: string): JsonPlaces | undefined {
    if (file === this.#file) return this.#places
    this.#file = file
    this.#places = placesIn(file)
    return this.#places
  }
}

/** A file that has gone or changed since is no failure: the issues stand, only their lines are not known. */
function placesIn(file: string): JsonPlaces | undefined {
  try {
    if (statSync(file).size > MOST_BYTES) return undefined
    return new JsonPlaces(withoutByteOrderMark(readFileSync(file, 'utf8')))
  } catch {
    return undefined
  }
}
