import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { MappedOutcome } from '../../src/core/mapping/apply/mapped-sitting.ts'
import { SittingMapper } from '../../src/core/mapping/apply/sitting-mapper.ts'
import type { MappingFiles } from '../../src/core/mapping/compiled-files.ts'
import type { Mapping } from '../../src/core/mapping/mapping.ts'
import { readMapping } from '../../src/core/mapping/read-mapping.ts'
import { root } from '../house/source-files.ts'

const folder = join(root, 'mappings')

/** Names of the mappings that ship. */
export function shippedMappings(): readonly string[] {
  return readdirSync(folder)
    .filter((file) => file.endsWith('.json') && !file.endsWith('.schema.json'))
    .map((file) => file.slice(0, -'.json'.length))
}

/** The texts of a mapping that ships, with every code table and record schema beside it. */
export function shippedMappingFiles(name: string): MappingFiles {
  const file = `${name}.json`
  const text = readFileSync(join(folder, file), 'utf8')
  const conceptMaps = filesBelow('concept-maps').map(([path, map]) => [path.slice(0, -5), map] as const)
  return {
    file,
    text,
    conceptMaps: new Map(conceptMaps),
    recordSchemas: new Map(filesBelow('record-schemas')),
  }
}

/** A mapping that ships, ready to use. */
export function shippedMapping(name: string): Mapping {
  const read = readMapping(shippedMappingFiles(name))
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
}

/** A file of `samples/mapped`, as text. */
export function mappedSample(file: string): string {
  return readFileSync(join(root, 'samples/mapped', file), 'utf8')
}

/** What a mapping makes of values, each a record on its own line. */
export function outcomesOf(mapping: Mapping, values: readonly unknown[]): readonly MappedOutcome[] {
  const mapper = new SittingMapper(mapping)
  const outcomes = values.flatMap((value, index) =>
    mapper.take({ value, text: JSON.stringify(value) ?? '', line: index + 1 }),
  )
  return [...outcomes, ...mapper.end()]
}

function filesBelow(inside: string): readonly (readonly [path: string, text: string])[] {
  const paths = readdirSync(join(folder, inside), { recursive: true, encoding: 'utf8' })
  return paths
    .filter((path) => path.endsWith('.json'))
    .map((path) => [path.replaceAll('\\', '/'), readFileSync(join(folder, inside, path), 'utf8')] as const)
}
