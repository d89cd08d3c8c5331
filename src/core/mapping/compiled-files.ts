import { hash } from 'node:crypto'
import { type CodeTable, readConceptMap } from './concept-map.ts'
import { DocumentFile } from './document-faults.ts'
import { compileRecordSchema, type RecordSchema } from './record-schema.ts'

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

/** The mapping's file while it is compiled, and those it names, each read once. */
export class CompiledFiles {
  readonly mapping: DocumentFile
  /** Whether records are CSV rows, read by column. */
  readsColumns = false
  readonly #files: MappingFiles
  readonly #named = new Map<string, DocumentFile>()
  readonly #tables = new Map<string, CodeTable>()
  readonly #schemas = new Map<string, RecordSchema | undefined>()

  constructor(files: MappingFiles) {
    this.#files = files
    this.mapping = new DocumentFile(files.file, files.text)
  }

  /** Undefined when there is no such file. What is wrong with it is noted there. */
  codeTable(id: string): CodeTable | undefined {
    const known = this.#tables.get(id)
    const text = this.#files.conceptMaps.get(id)
    if (known !== undefined || text === undefined) return known
    const table = readConceptMap(this.#open(`concept-maps/${id}.json`, text), id)
    this.#tables.set(id, table)
    return table
  }

  /** `missing` when there is no such file; undefined when it cannot be used, which is noted there. */
  recordSchema(path: string): RecordSchema | 'missing' | undefined {
    const text = this.#files.recordSchemas.get(path)
    if (text === undefined) return 'missing'
    if (!this.#schemas.has(path)) {
      this.#schemas.set(path, compileRecordSchema(this.#open(`record-schemas/${path}`, text)))
    }
    return this.#schemas.get(path)
  }

  get all(): readonly DocumentFile[] {
    return [this.mapping, ...this.#named.values()]
  }

  /** SHA-256 of the mapping's file and, in the order of their paths, those it names, as `cat` would join them. */
  sha256(): string {
    const named = [...this.#named.entries()].sort(([one], [other]) => (one < other ? -1 : 1))
    return hash('sha256', this.#files.text + named.map(([, file]) => file.text).join(''), 'hex')
  }

  #open(name: string, text: string): DocumentFile {
    const file = new DocumentFile(name, text)
    this.#named.set(name, file)
    return file
  }
}
