import type { MappedArrival } from '../../flow/intake/mapped-intake.ts'
import { type ShownIssue, shownIssue } from './error-response.ts'

/** Where in what was sent an outcome belongs, and what was remarked on the way. */
export interface AnswerPlace {
  /** 1-based line of a record of ours. */
  readonly line?: number
  /** 1-based lines of the records that a mapping made one sitting of. */
  readonly lines?: readonly number[]
  /** Places of such records in a document, as RFC 9535 normalized paths. */
  readonly paths?: readonly string[]
  readonly remarks?: readonly ShownIssue[]
}

/** Lines or paths of the records an outcome belongs to, without those that have none. */
export function placeOfArrival({ sources, remarks }: MappedArrival): AnswerPlace {
  const lines = sources.flatMap(({ line }) => (line === undefined ? [] : [line]))
  const paths = sources.flatMap(({ path }) => (path === undefined ? [] : [path]))
  return {
    ...(lines.length === 0 ? {} : { lines }),
    ...(paths.length === 0 ? {} : { paths }),
    ...(remarks.length === 0 ? {} : { remarks: remarks.map(shownIssue) }),
  }
}
