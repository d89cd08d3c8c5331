import type { ExaminedResource } from '../../../core/audit-report/examined-resource.ts'
import { examineResource } from '../../../flow/prove/examine-resource.ts'
import type { Judging } from '../options/validation-options.ts'
import type { FoundResource } from './read-resources.ts'

/** All that can be said of a resource as it was found; of text that is no JSON, only why it cannot be read. */
export function examineFound(
  { place, read }: FoundResource,
  { catalogue, options }: Judging,
): ExaminedResource {
  if (!read.ok) return { place, issues: read.issues, recomputed: [] }
  return { place, resource: read.value, ...examineResource(read.value, catalogue, options) }
}
