import { existsSync } from 'node:fs'
import type { Command } from 'commander'
import { readSettings } from '../../config/reading/read-settings.ts'
import type { Settings } from '../../config/settings/settings.ts'

const DEFAULT_FILE = 'gateway.json'

export function settingsOption(command: Command): Command {
  return command.option(
    '--settings <file>',
    `settings file (default: ${DEFAULT_FILE} where there is one; every key also by HOME_BP_… variables)`,
  )
}

/** @throws SettingsRefused when the file that was named, or the one found, cannot be used. */
export function loadSettings(file: string | undefined): Settings {
  const found = file ?? (existsSync(DEFAULT_FILE) ? DEFAULT_FILE : undefined)
  return readSettings(found, process.env)
}
