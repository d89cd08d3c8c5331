import { ok, type Result, refused } from '../basics/result.ts'
import { compileKind } from './compile-kind.ts'
import { CompiledFiles, type MappingFiles } from './compiled-files.ts'
import type { PlaceInMapping } from './compiled-kind.ts'
import { faultsOf } from './document-faults.ts'
import { type DocumentPath, pointerOf } from './document-lines.ts'
import type { Mapping } from './mapping.ts'
import { type MappingDocument, mappingDocument } from './mapping-document.ts'
import { ruleDocument } from './mapping-parts.ts'
import { compileSourcePath, type SourcePath } from './source-path.ts'
import { targets } from './targets.ts'

const MS_PER_MINUTE = 60_000

/**
 * Reads a mapping and compiles it, or tells every issue with it at once (code BAD_MAPPING), each at its place in the
 * document and, as `mapping`, at its line in the file: of the mapping itself, or of the code table or record schema
 * that cannot be used. Files it does not name are not looked at.
 */
export function readMapping(texts: MappingFiles): Result<Mapping> {
  const files = new CompiledFiles(texts)
  const { mapping: file } = files
  const document = file.isSound ? file.readBy(mappingDocument(), keysAt) : undefined
  const mapping = document === undefined ? undefined : compile(document, texts, files)
  const faults = faultsOf(files.all)
  if (faults !== undefined) return refused(faults)
  if (mapping === undefined) throw new Error('a mapping was refused for no reason that could be told')
  return ok(mapping)
}

function compile(document: MappingDocument, texts: MappingFiles, files: CompiledFiles): Mapping {
  const { name, title, input, sittings } = document
  files.readsColumns = input.format === 'csv'
  if (`${name}.json` !== texts.file) files.mapping.add(['name'], 'the name of the file without .json')
  reportKinds(document, files)
  const kinds = document.kinds.map((kind, index) => compileKind(kind, ['kinds', index], files))
  const records = recordsPath(document, files)
  return {
    name,
    title,
    sha256: files.sha256(),
    input,
    ...(document.subjectBy === undefined ? {} : { subjectBySender: placeOf(['subjectBy'], files) }),
    ...(records === undefined ? {} : { records }),
    kinds,
    ...(sittings === undefined ? {} : { gapMs: sittings.gapMinutes * MS_PER_MINUTE }),
    refusesUnlisted: document.unlisted === 'refused',
  }
}

function placeOf(path: DocumentPath, { mapping }: CompiledFiles): PlaceInMapping {
  return { pointer: pointerOf(path), line: mapping.lines.of(path) }
}

function reportKinds({ kinds, subjectBy }: MappingDocument, files: CompiledFiles): void {
  const names = new Set<string>()
  for (const [index, { name, when, skip, session }] of kinds.entries()) {
    const hasSubject = session?.subject !== undefined
    if (subjectBy === undefined && skip !== true && !hasSubject)
      files.mapping.add(['kinds', index, 'session'], 'a rule for the subject, or subjectBy: "sender"')
    if (subjectBy !== undefined && hasSubject)
      files.mapping.add(['kinds', index, 'session', 'subject'], 'no rule for the subject beside subjectBy')
    if (names.has(name)) files.mapping.add(['kinds', index, 'name'], 'each name once')
    names.add(name)
    if (when === undefined && index < kinds.length - 1) {
      files.mapping.add(['kinds', index], 'when, or to be the last: no kind after it can apply')
    }
  }
  if (kinds.every(({ completes, skip }) => completes === true || skip === true)) {
    files.mapping.add(['kinds'], 'a kind that makes readings')
  }
}

function recordsPath({ records, input }: MappingDocument, files: CompiledFiles): SourcePath | undefined {
  if (records === undefined) return undefined
  if (input.format !== 'json') {
    files.mapping.add(['records'], 'records with format json only')
    return undefined
  }
  const path = compileSourcePath(records, 'list')
  if (typeof path !== 'string' && path.from === '$') return path
  files.mapping.add(['records'], typeof path === 'string' ? path : 'a path from $')
  return undefined
}

/** Keys a place of the document may have, to tell which one was meant. */
function keysAt(path: DocumentPath): readonly string[] {
  const document = mappingDocument()
  if (path.length === 0) return Object.keys(document.shape)
  if (path.length === 2 && path[0] === 'kinds') return Object.keys(document.shape.kinds.element.shape)
  const last = path.at(-1)
  if (last === 'session') return [...targets().session.keys()]
  if (last === 'reading' || path.at(-2) === 'sets') return [...targets().reading.keys()]
  return Object.keys(ruleDocument.shape)
}
