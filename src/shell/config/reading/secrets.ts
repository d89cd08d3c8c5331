import type { Issue } from '../../../core/basics/issue.ts'
import type { WrittenSecret } from '../settings/written-values.ts'

export type Environment = Readonly<Record<string, string | undefined>>

/** The text of a secret: itself, or what the variable that it names holds. An unset or empty variable is an issue. */
export function secretText(
  written: WrittenSecret,
  at: string,
  environment: Environment,
  report: (issue: Issue) => void,
): string {
  if (typeof written === 'string') return written
  const found = environment[written.env]
  if (found !== undefined && found !== '') return found
  report({
    severity: 'error',
    type: 'required',
    code: 'MISSING_KEY',
    at,
    expected: `the environment variable ${written.env} to be set`,
    remedy: 'Set it, or name another one.',
  })
  return ''
}
