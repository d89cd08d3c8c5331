import { existsSync } from 'node:fs'
import { InvalidArgumentError } from 'commander'
import type { Mapping } from '../../../core/mapping/mapping.ts'
import { loadMappingFile, loadMappings } from '../../config/catalogue/load-mappings.ts'
import { packageRoot } from '../../config/package-root.ts'

/**
 * A mapping by the name of one that ships, or by the path of its file.
 *
 * @throws SettingsRefused for a file that is no mapping; InvalidArgumentError when there is neither.
 */
export function findMapping(nameOrFile: string): Mapping {
  const root = packageRoot()
  if (nameOrFile.endsWith('.json') && existsSync(nameOrFile)) return loadMappingFile(nameOrFile, root)
  return findLoadedMapping(nameOrFile, loadMappings({}, root))
}

/** One of the mappings that are loaded. @throws InvalidArgumentError when there is none of that name. */
export function findLoadedMapping(name: string, loaded: ReadonlyMap<string, Mapping>): Mapping {
  const mapping = loaded.get(name)
  if (mapping !== undefined) return mapping
  throw new InvalidArgumentError(`There is no mapping ${name}. There are: ${[...loaded.keys()].join(', ')}.`)
}
