import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { basename, join, relative, sep } from 'node:path'
import type { MappingFiles } from '../../../core/mapping/compiled-files.ts'
import type { Mapping } from '../../../core/mapping/mapping.ts'
import { readMapping } from '../../../core/mapping/read-mapping.ts'
import { jsonFilesIn } from '../json-files.ts'
import type { Settings } from '../settings/settings.ts'
import { settingsProblem, settingsRefused } from '../settings-refused.ts'

/** Ends the name of a JSON Schema, which lies beside mappings for editors and is none. */
const SCHEMA = '.schema.json'

/**
 * Loads the mappings that ship and then the deployment's own, each with the code tables and record schemas it names: a
 * mapping of the deployment may use those that ship beside those of its own folder, which come first.
 *
 * @throws SettingsRefused for a file that cannot be read, is no mapping, or has the name of another.
 */
export function loadMappings(
  { mappingsFolder }: Pick<Settings, 'mappingsFolder'>,
  root: string,
): ReadonlyMap<string, Mapping> {
  const shipped = join(root, 'mappings')
  const mappings = new Map<string, Mapping>()
  let beside = NOTHING_BESIDE
  for (const folder of mappingsFolder === undefined ? [shipped] : [shipped, mappingsFolder]) {
    beside = { ...joined(beside, besideMappings(folder)) }
    for (const file of jsonFilesIn(folder).filter((name) => !name.endsWith(SCHEMA))) {
      const mapping = loadMapping(file, beside)
      if (mappings.has(mapping.name)) throw settingsRefused(file, [TAKEN])
      mappings.set(mapping.name, mapping)
    }
  }
  return mappings
}

/** Loads one mapping with what lies beside it and what ships. @throws SettingsRefused naming the file. */
export function loadMappingFile(file: string, root: string): Mapping {
  return loadMapping(file, joined(besideMappings(join(root, 'mappings')), besideMappings(join(file, '..'))))
}

type Beside = Pick<MappingFiles, 'conceptMaps' | 'recordSchemas'>

const NOTHING_BESIDE: Beside = { conceptMaps: new Map(), recordSchemas: new Map() }

function loadMapping(file: string, beside: Beside): Mapping {
  const read = readMapping({ file: basename(file), text: textOf(file), ...beside })
  if (!read.ok) throw settingsRefused(file, read.issues)
  return read.value
}

function besideMappings(folder: string): Beside {
  const conceptMaps = new Map<string, string>()
  for (const file of filesBelow(join(folder, 'concept-maps')))
    conceptMaps.set(basename(file, '.json'), textOf(file))
  const schemas = join(folder, 'record-schemas')
  const recordSchemas = new Map<string, string>()
  for (const file of filesBelow(schemas)) {
    recordSchemas.set(relative(schemas, file).split(sep).join('/'), textOf(file))
  }
  return { conceptMaps, recordSchemas }
}

/** What the second has takes the place of what the first has of the same name. */
function joined(first: Beside, second: Beside): Beside {
  return {
    conceptMaps: new Map([...first.conceptMaps, ...second.conceptMaps]),
    recordSchemas: new Map([...first.recordSchemas, ...second.recordSchemas]),
  }
}

function filesBelow(folder: string): readonly string[] {
  if (!existsSync(folder)) return []
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.json'))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort()
}

function textOf(file: string): string {
  try {
    return readFileSync(file, 'utf8')
  } catch (cause) {
    throw settingsRefused(file, [settingsProblem('', 'a file that can be read', 'Check its rights.')], cause)
  }
}

const TAKEN = settingsProblem('name', 'a name that no other mapping has', 'Choose another name.')
