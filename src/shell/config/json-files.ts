import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type JsonLimits, readJson } from '../../core/json-text/read-json.ts'
import { settingsProblem, settingsRefused } from './settings-refused.ts'

/** Paths of the files ending in `.json` that lie in a folder itself, sorted. @throws SettingsRefused naming the folder. */
export function jsonFilesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder)
      .filter((name) => name.endsWith('.json'))
      .sort()
      .map((name) => join(folder, name))
  } catch (cause) {
    const problem = settingsProblem(
      'the folder',
      'a folder that can be read',
      'Check the path and its rights.',
    )
    throw settingsRefused(folder, [problem], cause)
  }
}

/** What a JSON file says. @throws SettingsRefused naming the file. */
export function readJsonFile(file: string): unknown {
  let text: string
  try {
    text = readFileSync(file, 'utf8')
  } catch (cause) {
    const problem = settingsProblem('', 'a JSON file that can be read', 'Check its rights.')
    throw settingsRefused(file, [problem], cause)
  }
  return jsonOf(text, file)
}

/** Definitions of others nest deeper than settings do. */
const LIMITS: JsonLimits = { maxDepth: 256 }

/**
 * What the text of a file an operator wrote says, by the rules for JSON from outside: a key given twice is refused, a
 * byte order mark is skipped.
 *
 * @throws SettingsRefused naming the file, with line and column where it is not JSON; nothing of the text is quoted, as
 *   it can be a secret.
 */
export function jsonOf(text: string, file: string): unknown {
  const read = readJson(text, LIMITS)
  if (read.ok) return read.value
  const issues = read.issues.map((issue) =>
    issue.code === 'NOT_JSON'
      ? { ...issue, expected: `JSON: ${issue.expected}`, remedy: `${issue.remedy} Comments are not JSON.` }
      : issue,
  )
  throw settingsRefused(file, issues)
}
