import { join } from 'node:path'
import { rebased } from '../../../core/fhir/rebased-documents.ts'
import { jsonFilesIn, readJsonFile } from '../json-files.ts'
import { packageRoot } from '../package-root.ts'
import { settingsProblem, settingsRefused } from '../settings-refused.ts'

/** A conformance resource of ours, as it reads under the canonical base of the deployment. */
export interface OwnDefinition {
  readonly resourceType: string
  readonly id: string
  /** Its canonical URL, without a version. */
  readonly url: string
}

const FOLDERS = ['capability-statements', 'code-systems', 'structure-definitions', 'value-sets']

/**
 * Our own conformance resources, in the order of their folders and files.
 *
 * @throws SettingsRefused for a file of the package that cannot be read or is none; it was damaged.
 */
export function ownDefinitions(
  canonicalBase: string,
  root: string = packageRoot(),
): readonly OwnDefinition[] {
  return FOLDERS.flatMap((folder) => jsonFilesIn(join(root, 'profiles', folder))).map((file) => {
    const document = rebased(readJsonFile(file), canonicalBase)
    if (!isDefinition(document)) throw settingsRefused(file, [DAMAGED])
    return document
  })
}

function isDefinition(document: unknown): document is OwnDefinition {
  if (typeof document !== 'object' || document === null) return false
  const { resourceType, id, url }: { resourceType?: unknown; id?: unknown; url?: unknown } = document
  return [resourceType, id, url].every((text) => typeof text === 'string')
}

const DAMAGED = settingsProblem(
  '',
  'a conformance resource with an id and a url',
  'Install the package again.',
)
