import { readdir, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { settingsProblem, settingsRefused } from '../config/settings-refused.ts'
import { readKeyFile } from './key-file.ts'
import type { SigningKey } from './signing-key.ts'

/** The files of a folder that hold keys, with a text that changes whenever one of them does. */
export interface KeyFolder {
  readonly files: readonly string[]
  readonly fingerprint: string
}

/** A folder that is not there holds no keys. @throws SettingsRefused when it cannot be read. */
export async function lookIntoKeyFolder(folder: string): Promise<KeyFolder> {
  const names = await unlessAbsent(readdir(folder), folder)
  const files: string[] = []
  const marks: string[] = []
  for (const name of (names ?? []).filter((one) => one.endsWith('.json')).sort()) {
    const file = join(folder, name)
    const seen = await unlessAbsent(stat(file), file)
    if (seen === undefined) continue
    files.push(file)
    marks.push([name, seen.ino, seen.mode, seen.size, seen.mtimeMs, seen.ctimeMs].join(' '))
  }
  return { files, fingerprint: marks.join('\n') }
}

/** @throws SettingsRefused when a file in it must not be used. */
export async function readKeyFolder(folder: string): Promise<readonly SigningKey[]> {
  const { files } = await lookIntoKeyFolder(folder)
  return await Promise.all(files.map(readKeyFile))
}

/** Undefined for what is not there, or was removed since. @throws SettingsRefused for every other failure. */
async function unlessAbsent<T>(looking: Promise<T>, place: string): Promise<T | undefined> {
  try {
    return await looking
  } catch (cause) {
    if (cause instanceof Error && 'code' in cause && cause.code === 'ENOENT') return undefined
    throw settingsRefused(place, [NOT_READABLE], cause)
  }
}

const NOT_READABLE = settingsProblem('', 'something that can be read', 'Check the path and its rights.')
