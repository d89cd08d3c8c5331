import { readFileSync } from 'node:fs'
import type { Issue } from '../../../core/basics/issue.ts'
import { jsonOf } from '../json-files.ts'
import { type Settings, settingsDocument } from '../settings/settings.ts'
import { settingsProblem, settingsRefused } from '../settings-refused.ts'
import { atItsVariable, ENVIRONMENT_PREFIX, layOver, readEnvironment } from './environment-settings.ts'
import { resolveSettings } from './resolve-settings.ts'
import { readBySchema } from './schema-issues.ts'
import type { Environment } from './secrets.ts'

/**
 * Reads the settings: defaults, then the file, then the environment.
 *
 * @param file path of a JSON file; undefined for none.
 * @throws SettingsRefused with every problem in one message, when the file cannot be read, is not JSON, or breaks the
 *   schema anywhere.
 */
export function readSettings(file: string | undefined, environment: Environment): Settings {
  const written = file === undefined ? {} : readJsonFile(file)
  const fromEnvironment = readEnvironment(environment, secretNamesIn(written, environment))
  const read = readBySchema(settingsDocument, layOver(written, fromEnvironment.document))
  const refusedFor = (issues: readonly Issue[]) => {
    const placed = issues.map((issue) => atItsVariable(issue, fromEnvironment.read))
    const ofFile = placed.some(({ at }) => !at.startsWith(ENVIRONMENT_PREFIX))
    return settingsRefused(ofFile && file !== undefined ? file : 'the environment', placed)
  }
  if (!read.ok) throw refusedFor([...fromEnvironment.issues, ...read.issues])
  if (fromEnvironment.issues.length > 0) throw refusedFor(fromEnvironment.issues)

  const settings = resolveSettings(read.value, environment)
  if (!settings.ok) throw refusedFor(settings.issues)
  return settings.value
}

function readJsonFile(file: string): unknown {
  let text: string
  try {
    text = readFileSync(file, 'utf8')
  } catch (cause) {
    const problem = settingsProblem('', 'a file that can be read', 'Check the path and its rights.')
    throw settingsRefused(file, [problem], cause)
  }
  return jsonOf(text, file)
}

/** Names given as `{ "env": "NAME" }` anywhere in the file or in a JSON variable. */
function secretNamesIn(written: unknown, environment: Environment): ReadonlySet<string> {
  const names = new Set<string>()
  const look = (value: unknown): void => {
    if (typeof value !== 'object' || value === null) return
    if ('env' in value && typeof value.env === 'string') names.add(value.env)
    for (const inner of Object.values(value)) look(inner)
  }
  look(written)
  look(readEnvironment(environment, names).document)
  return names
}
