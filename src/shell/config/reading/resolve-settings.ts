import type { Issue } from '../../../core/basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../../../core/basics/result.ts'
import type { Settings, SettingsDocument } from '../settings/settings.ts'
import { adornmentIssues } from './adornment-issues.ts'
import { contradictionsOf } from './destination-contradictions.ts'
import { resolveDestination } from './resolve-destination.ts'
import type { Environment } from './secrets.ts'

/**
 * Settings ready for use: secrets resolved, PEM files read. Refuses what is missing, and destinations that contradict
 * themselves or ask for what no resource can carry, all at once.
 */
export function resolveSettings(document: SettingsDocument, environment: Environment): Result<Settings> {
  const issues: Issue[] = []
  const { $schema: _, destinations: written, ...rest } = document
  const destinations = written.map((one, index) => {
    const at = `destinations[${index}]`
    const destination = resolveDestination(one, at, environment, (issue) => issues.push(issue))
    issues.push(...contradictionsOf(destination, at), ...adornmentIssues(destination, at))
    return destination
  })
  return isNonEmpty(issues) ? refused(issues) : ok({ ...rest, destinations })
}
