import type { Issue } from '../../basics/issue.ts'
import type { MappedSitting, Origin } from './mapped-sitting.ts'

/**
 * An issue with the native record told at its source: beside the native place, the place in the source (`from`), its
 * line, and the rule by which the value came (`mapping`). An issue at an object, such as a whole reading, is told at
 * the first of its values; one at a place no rule fills, at the sitting's first record.
 */
export function translateIssue(issue: Issue, sitting: MappedSitting): Issue {
  const origin = originAt(issue.at, sitting)
  const [source] = sitting.sources
  const line = origin?.from.find((place) => place.line !== undefined)?.line ?? source.line
  const from = origin?.from.map(({ path }) => path) ?? []
  return {
    ...issue,
    ...(line === undefined ? {} : { line }),
    ...(from.length === 0 ? {} : { from: [...new Set(from)].join(', ') }),
    mapping: `${sitting.mapping}.json${origin === undefined ? '' : `:${origin.line}`}`,
  }
}

function originAt(at: string, { origins, unfilled }: MappedSitting): Origin | undefined {
  const exact = origins.get(at) ?? unfilled.get(at)
  if (exact !== undefined || at === '') return exact
  for (const [place, origin] of [...origins, ...unfilled]) {
    if (place.startsWith(`${at}.`) || place.startsWith(`${at}[`)) return origin
  }
  return undefined
}
