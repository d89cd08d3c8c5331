import { existsSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { SettingsRefused } from '../../core/basics/gateway-error.ts'

/** The folder of this package, whether run from `src` or from `dist`: the nearest one above that holds `profiles`. */
export function packageRoot(from: string = import.meta.url): string {
  let folder = dirname(fileURLToPath(from))
  for (;;) {
    if (existsSync(join(folder, 'package.json')) && existsSync(join(folder, 'profiles'))) return folder
    const above = dirname(folder)
    if (above === folder) {
      throw new SettingsRefused('the folder "profiles" of this package is missing; install it again')
    }
    folder = above
  }
}

/** The version this package carries, `0.1.0`. */
export function packageVersion(root: string = packageRoot()): string {
  const { version }: { version?: unknown } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'))
  return typeof version === 'string' ? version : '0.0.0'
}
