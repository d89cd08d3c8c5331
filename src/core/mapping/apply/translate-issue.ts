import type { Issue } from '../../basics/issue.ts'
import type { NonEmpty } from '../../basics/result.ts'
import type { MappedSitting, Origin } from './mapped-sitting.ts'

/** Issues with the native record told at their source, each once: a time may be that of the sitting and of a reading. */
export function translateIssues(
  [first, ...others]: NonEmpty<Issue>,
  sitting: MappedSitting,
): NonEmpty<Issue> {
  const told = translateIssue(first, sitting)
  const seen = new Set([sourceOf(told)])
  return [
    told,
    ...others.flatMap((issue) => {
      const next = translateIssue(issue, sitting)
      const source = sourceOf(next)
      if (issue.at.endsWith('takenAt') && seen.has(source)) return []
      seen.add(source)
      return [next]
    }),
  ]
}

function sourceOf({ code, line, from, mapping }: Issue): string {
  return JSON.stringify([code, line, from, mapping])
}

/**
 * An issue with the native record told at its source: beside the native place, the place in the source (`from`), its
 * line, and the rule by which the value came (`mapping`). An issue at an object is told at its values, one at a whole
 * reading at its pressures; one at a place no rule fills, at the sitting's first record.
 */
function translateIssue(issue: Issue, sitting: MappedSitting): Issue {
  const origins = originsAt(issue.at, sitting)
  const places = origins.flatMap((origin) => origin.from)
  const line = places.find((place) => place.line !== undefined)?.line ?? sitting.sources[0].line
  const paths = new Set(places.map(({ path }) => path))
  const [first] = origins
  return {
    ...issue,
    ...(line === undefined ? {} : { line }),
    ...(paths.size === 0 ? {} : { from: [...paths].join(', ') }),
    mapping: `${sitting.mapping}.json${first === undefined ? '' : `:${first.line}`}`,
  }
}

function originsAt(at: string, { origins, unfilled }: MappedSitting): readonly Origin[] {
  const exact = origins.get(at) ?? unfilled.get(at)
  if (exact !== undefined) return [exact]
  const pressures = [`${at}.systolic`, `${at}.diastolic`].flatMap((place) => origins.get(place) ?? [])
  if (pressures.length > 0 || at === '' || at === 'readings') return pressures
  return [...origins, ...unfilled].flatMap(([place, origin]) => (place.startsWith(`${at}.`) ? [origin] : []))
}
