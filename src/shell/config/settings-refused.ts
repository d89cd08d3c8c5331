import { SettingsRefused } from '../../core/basics/gateway-error.ts'
import type { Issue } from '../../core/basics/issue.ts'

/** One problem in a file an operator wrote, at its place in that file. */
export function settingsProblem(at: string, expected: string, remedy: string): Issue {
  return { severity: 'error', type: 'value', code: 'SETTINGS_REFUSED', at, expected, remedy }
}

/** One refusal that tells every problem found in a file an operator wrote, one a line. Holds no value from it. */
export function settingsRefused(from: string, issues: readonly Issue[], cause?: unknown): SettingsRefused {
  const lines = issues.map(({ at, expected, remedy, mapping }) => {
    const place = [...(mapping === undefined ? [] : [mapping]), at === '' ? 'the file as a whole' : at].join(
      ', ',
    )
    return `  ${place}: expected ${expected}. ${remedy}`
  })
  const message = [`${from} cannot be used:`, ...lines].join('\n')
  return new SettingsRefused(message, cause === undefined ? undefined : { cause })
}
