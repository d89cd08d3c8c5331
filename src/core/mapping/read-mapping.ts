import type { Result } from '../basics/result.ts'
import type { Mapping } from './mapping.ts'

/** The files a mapping is made of, as texts. */
export interface MappingFiles {
  /** Name of the mapping's file: `open-mhealth.json`. */
  readonly file: string
  readonly text: string
  /** ConceptMaps by id, which is the name of their file without `.json`. */
  readonly conceptMaps: ReadonlyMap<string, string>
  /** Record schemas by their path below `record-schemas/`. */
  readonly recordSchemas: ReadonlyMap<string, string>
}

/**
 * Reads a mapping and compiles it, or tells every issue with it at once (code BAD_MAPPING), each at its place in the
 * document and, as `mapping`, at its line in the file. Files it does not name are not looked at.
 */
export function readMapping(_files: MappingFiles): Result<Mapping> {
  throw new Error('mappings cannot be read yet')
}
