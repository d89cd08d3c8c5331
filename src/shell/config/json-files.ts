import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { settingsProblem, settingsRefused } from './settings-refused.ts'

/** Paths of the files ending in `.json` that lie in a folder itself, sorted. @throws SettingsRefused naming the folder. */
export function jsonFilesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder)
      .filter((name) => name.endsWith('.json'))
      .sort()
      .map((name) => join(folder, name))
  } catch (cause) {
    const problem = settingsProblem('', 'a folder that can be read', 'Check the path and its rights.')
    throw settingsRefused(folder, [problem], cause)
  }
}

/** What a JSON file says. @throws SettingsRefused naming the file. */
export function readJsonFile(file: string): unknown {
  try {
    return JSON.parse(readFileSync(file, 'utf8'))
  } catch (cause) {
    const problem = settingsProblem('', 'a JSON file that can be read', 'Check its rights and its JSON.')
    throw settingsRefused(file, [problem], cause)
  }
}
