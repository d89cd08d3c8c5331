import type { Issue } from '../../core/basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../../core/basics/result.ts'
import type { Destination, DestinationAccess } from '../../core/registry/destination.ts'
import type { Settings, SettingsDocument, WrittenSecret } from './settings.ts'

export type Environment = Readonly<Record<string, string | undefined>>

/** Puts the text of each secret in place of the variable that names it. An unset or empty variable is an issue. */
export function resolveSecrets(document: SettingsDocument, environment: Environment): Result<Settings> {
  const issues: Issue[] = []
  const text = (written: WrittenSecret, at: string): string => {
    if (typeof written === 'string') return written
    const found = environment[written.env]
    if (found !== undefined && found !== '') return found
    issues.push({
      severity: 'error',
      type: 'required',
      code: 'MISSING_KEY',
      at,
      expected: `the environment variable ${written.env} to be set`,
      remedy: 'Set it, or name another one.',
    })
    return ''
  }
  const { $schema: _, destinations: written, ...rest } = document
  const destinations = written.map((one, index): Destination => {
    const at = `destinations[${index}].access`
    return { ...one, access: resolveAccess(one.access, (secret, key) => text(secret, `${at}.${key}`)) }
  })
  return isNonEmpty(issues) ? refused(issues) : ok({ ...rest, destinations })
}

function resolveAccess(
  access: SettingsDocument['destinations'][number]['access'],
  text: (secret: WrittenSecret, key: string) => string,
): DestinationAccess {
  switch (access.kind) {
    case 'none':
      return access
    case 'bearer':
      return { kind: 'bearer', token: text(access.token, 'token') }
    case 'basic':
      return { kind: 'basic', user: access.user, password: text(access.password, 'password') }
  }
}

/** The settings as they may be printed: every secret replaced by dots of one length. */
export function shownSettings(settings: Settings): Settings {
  const hidden = '••••••••'
  const destinations = settings.destinations.map((one): Destination => {
    if (one.access.kind === 'bearer') return { ...one, access: { kind: 'bearer', token: hidden } }
    if (one.access.kind === 'basic') {
      return { ...one, access: { kind: 'basic', user: one.access.user, password: hidden } }
    }
    return one
  })
  return { ...settings, destinations }
}
