import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Issue } from '../../core/basics/issue.ts'
import { isNonEmpty, type Result } from '../../core/basics/result.ts'
import type { Protocol } from '../../core/clinical/protocol/protocol.ts'
import { readProtocol } from '../../core/clinical/protocol/read-protocol.ts'
import { readThresholdSet } from '../../core/clinical/protocol/read-threshold-set.ts'
import type { ThresholdSet } from '../../core/clinical/protocol/threshold-set.ts'
import type { Catalogue } from '../../flow/ports.ts'
import { packageRoot } from './package-root.ts'
import type { Settings } from './settings.ts'
import { settingsRefused } from './settings-refused.ts'

/**
 * Loads the published protocols and threshold sets, then the clinic's own folders.
 *
 * @throws SettingsRefused for a file that cannot be read, breaks its schema, takes an id that is taken, or names a
 *   threshold set that is not there; the message carries the file and the place in it.
 */
export function loadCatalogue(
  settings: Pick<Settings, 'canonicalBase' | 'destinations' | 'protocolsFolder' | 'thresholdSetsFolder'>,
  root: string = packageRoot(),
): Catalogue {
  const published = join(root, 'profiles')
  const thresholdSets = loadAll<ThresholdSet>(
    [join(published, 'threshold-sets'), settings.thresholdSetsFolder],
    readThresholdSet,
    () => [],
  )
  const protocols = loadAll<Protocol>(
    [join(published, 'protocols'), settings.protocolsFolder],
    readProtocol,
    (protocol) => missingThresholdSets(protocol, thresholdSets),
  )
  const destinations = new Map(settings.destinations.map((one) => [one.name, one]))
  return { protocols, thresholdSets, destinations, canonicalBase: settings.canonicalBase }
}

function loadAll<Document extends { readonly id: string }>(
  folders: readonly (string | undefined)[],
  read: (value: unknown) => Result<Document>,
  check: (document: Document) => readonly Issue[],
): ReadonlyMap<string, Document> {
  const documents = new Map<string, Document>()
  for (const folder of folders) {
    if (folder === undefined) continue
    for (const file of jsonFilesIn(folder)) {
      const document = readDocument(file, read)
      const problems = [...check(document), ...(documents.has(document.id) ? [TAKEN] : [])]
      if (isNonEmpty(problems)) throw settingsRefused(file, problems)
      documents.set(document.id, document)
    }
  }
  return documents
}

function jsonFilesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder)
      .filter((name) => name.endsWith('.json'))
      .sort()
      .map((name) => join(folder, name))
  } catch (cause) {
    throw settingsRefused(
      folder,
      [problem('', 'a folder that can be read', 'Check the path and its rights.')],
      cause,
    )
  }
}

function readDocument<Document>(file: string, read: (value: unknown) => Result<Document>): Document {
  let value: unknown
  try {
    value = JSON.parse(readFileSync(file, 'utf8'))
  } catch (cause) {
    throw settingsRefused(
      file,
      [problem('', 'a JSON file that can be read', 'Check its rights and its JSON.')],
      cause,
    )
  }
  const document = read(value)
  if (!document.ok) throw settingsRefused(file, document.issues)
  return document.value
}

function missingThresholdSets(
  protocol: Protocol,
  known: ReadonlyMap<string, ThresholdSet>,
): readonly Issue[] {
  const ids = [...known.keys()].join(', ')
  return protocol.thresholdSets.flatMap((id, index) =>
    known.has(id)
      ? []
      : [problem(`thresholdSets[${index}]`, `one of: ${ids}`, 'Name a threshold set that is loaded.')],
  )
}

const TAKEN = problem('id', 'an id that no other file has', 'Choose another id.')

function problem(at: string, expected: string, remedy: string): Issue {
  return { severity: 'error', type: 'value', code: 'SETTINGS_REFUSED', at, expected, remedy }
}
