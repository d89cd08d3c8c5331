import { join } from 'node:path'
import type { Issue } from '../../../core/basics/issue.ts'
import { isNonEmpty, type Result } from '../../../core/basics/result.ts'
import type { Protocol } from '../../../core/clinical/protocol/protocol.ts'
import { readProtocol } from '../../../core/clinical/protocol/read-protocol.ts'
import { readRecordingRule } from '../../../core/clinical/protocol/read-recording-rule.ts'
import { readThresholdSet } from '../../../core/clinical/protocol/read-threshold-set.ts'
import type { RecordingRule } from '../../../core/clinical/protocol/recording-rule.ts'
import type { ThresholdSet } from '../../../core/clinical/protocol/threshold-set.ts'
import type { Catalogue } from '../../../flow/ports/ports.ts'
import { jsonFilesIn, readJsonFile } from '../json-files.ts'
import { packageRoot } from '../package-root.ts'
import type { Settings } from '../settings/settings.ts'
import { settingsProblem, settingsRefused } from '../settings-refused.ts'
import { destinationIssues } from './destination-issues.ts'
import { loadMappings } from './load-mappings.ts'
import { loadProfiles } from './load-profiles.ts'
import { thresholdSetIssues } from './threshold-set-issues.ts'

type CatalogueSettings = Pick<
  Settings,
  | 'canonicalBase'
  | 'destinations'
  | 'protocolsFolder'
  | 'thresholdSetsFolder'
  | 'recordingRulesFolder'
  | 'mappingsFolder'
  | 'profilesFolder'
>

/**
 * Loads the published threshold sets, protocols, rules for 24-hour recordings, mappings and profiles, then the clinic's own
 * folders, and checks that what destinations name is there.
 *
 * @throws SettingsRefused for a file that cannot be read, breaks its schema, takes an id that is taken, or names a
 *   threshold set that is not there or is drawn for another mean; for a destination that names what is not there, or
 *   a protocol from memory. The message carries the file and the place in it.
 */
export function loadCatalogue(settings: CatalogueSettings, root: string = packageRoot()): Catalogue {
  const published = join(root, 'profiles')
  const thresholdSets = loadAll<ThresholdSet>(
    [join(published, 'threshold-sets'), settings.thresholdSetsFolder],
    readThresholdSet,
    () => [],
  )
  const protocols = loadAll<Protocol>(
    [join(published, 'protocols'), settings.protocolsFolder],
    readProtocol,
    (protocol) => thresholdSetIssues(protocol.thresholdSets, ['home'], thresholdSets),
  )
  const recordingRules = loadAll<RecordingRule>(
    [join(published, 'recording-rules'), settings.recordingRulesFolder],
    readRecordingRule,
    (rule) => [
      ...(protocols.has(rule.id) ? [TAKEN] : []),
      ...thresholdSetIssues(
        rule.thresholdSets,
        rule.averaged.map((mean) => `ambulatory-${mean}` as const),
        thresholdSets,
      ),
    ],
  )
  const wrong = destinationIssues(settings.destinations, protocols, thresholdSets)
  if (isNonEmpty(wrong)) throw settingsRefused('the settings', wrong)
  const destinations = new Map(settings.destinations.map((one) => [one.name, one]))
  const { canonicalBase } = settings
  const profiles = loadProfiles(settings, root)
  let mappings: Catalogue['mappings'] | undefined
  return {
    protocols,
    thresholdSets,
    recordingRules,
    destinations,
    profiles,
    canonicalBase,
    // Compiled when first asked for: most commands read none, and it takes longer than all the rest.
    get mappings() {
      mappings ??= loadMappings(settings, root)
      return mappings
    },
  }
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

function readDocument<Document>(file: string, read: (value: unknown) => Result<Document>): Document {
  const document = read(readJsonFile(file))
  if (!document.ok) throw settingsRefused(file, document.issues)
  return document.value
}

const TAKEN = settingsProblem('id', 'an id that no other file has', 'Choose another id.')
