import type { Issue } from '../../../core/basics/issue.ts'
import type { Destination } from '../../../core/registry/destination.ts'
import { errorsIn } from '../../../core/validation/validate-resource.ts'

/**
 * What in a destination's tags and identifiers no FHIR resource could carry: found at start, because it would keep
 * everything from that clinic.
 *
 * @param at its place in the settings: `destinations[0]`.
 */
export function adornmentIssues({ adornment }: Pick<Destination, 'adornment'>, at: string): readonly Issue[] {
  const { tags, identifiers } = adornment
  const carrier = {
    resourceType: 'Device',
    ...(tags.length === 0 ? {} : { meta: { tag: tags } }),
    ...(identifiers.length === 0 ? {} : { identifier: identifiers }),
  }
  return errorsIn(carrier).map((issue) => ({ ...issue, at: placeInSettings(issue.at, at) }))
}

function placeInSettings(place: string, at: string): string {
  return place.replace(/^Device\.meta\.tag/, `${at}.tags`).replace(/^Device\.identifier/, `${at}.identifiers`)
}
