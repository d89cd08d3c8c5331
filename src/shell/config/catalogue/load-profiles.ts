import { existsSync } from 'node:fs'
import { join } from 'node:path'
import type { Issue } from '../../../core/basics/issue.ts'
import { rebased } from '../../../core/fhir/rebased-documents.ts'
import type { ProfileSet } from '../../../core/validation/profiles/profile-set.ts'
import { PUBLISHED_PROFILES } from '../../../core/validation/profiles/published-profiles.ts'
import { readProfiles } from '../../../core/validation/profiles/read-profiles.ts'
import { jsonFilesIn, readJsonFile } from '../json-files.ts'
import type { Settings } from '../settings/settings.ts'
import { settingsProblem, settingsRefused } from '../settings-refused.ts'
import { FHIRPATH_EVALUATOR } from './fhirpath-evaluator.ts'

/** Where the package keeps definitions of our own, beside those that lie in `profiles` itself. */
const OUR_FOLDERS = ['structure-definitions', 'value-sets', 'code-systems']

interface Definition {
  readonly file: string
  readonly document: unknown
}

/**
 * The profiles that ship, those in the package's `profiles` folder, and the deployment's own.
 *
 * Ours are read under the canonical base of the settings. A file of the deployment takes the place of another of the
 * same URL that ships.
 *
 * @throws SettingsRefused for a file that cannot be read, is no StructureDefinition, ValueSet or CodeSystem with a URL,
 *   has the URL of another file of its folder, or cannot be held to. The message carries the file and the reason.
 */
export function loadProfiles(
  { canonicalBase, profilesFolder }: Pick<Settings, 'canonicalBase' | 'profilesFolder'>,
  root: string,
): ProfileSet {
  const published = join(root, 'profiles')
  const ours = [published, ...OUR_FOLDERS.map((name) => join(published, name))]
    .filter((folder) => existsSync(folder))
    .flatMap(definitionsIn)
    .map(({ file, document }) => ({ file, document: rebased(document, canonicalBase) }))
  const added = profilesFolder === undefined ? [] : definitionsIn(profilesFolder)
  return setOf(added, setOf(ours, PUBLISHED_PROFILES))
}

function setOf(definitions: readonly Definition[], base: ProfileSet): ProfileSet {
  const read = readProfiles(
    definitions.map(({ document }) => document),
    { base, evaluator: FHIRPATH_EVALUATOR },
  )
  if (read.ok) return read.value
  throw settingsRefused(...blame(definitions, read.issues))
}

/** The file the first issue is about, and all issues about it. Issues are placed as `[2].snapshot`, by position. */
function blame(definitions: readonly Definition[], issues: readonly Issue[]): [string, readonly Issue[]] {
  const positionOf = ({ at }: Issue) => /^\[(\d+)\]/.exec(at)?.[1]
  const position = issues.map(positionOf).find((one) => one !== undefined)
  const file = definitions[Number(position)]?.file ?? 'the profiles folder'
  const about = issues.filter((one) => positionOf(one) === position)
  return [file, about.map((one) => ({ ...one, at: one.at.replace(/^\[\d+\]\.?/, '') }))]
}

function definitionsIn(folder: string): readonly Definition[] {
  const urls = new Set<string>()
  return jsonFilesIn(folder).map((file) => {
    const document = readJsonFile(file)
    const url = urlOf(document)
    const problem = url === undefined ? NO_DEFINITION : urls.has(url) ? TAKEN : undefined
    if (problem !== undefined) throw settingsRefused(file, [problem])
    urls.add(url ?? '')
    return { file, document }
  })
}

/** The URL of a conformance resource that validation can use; undefined for anything else. */
function urlOf(document: unknown): string | undefined {
  if (typeof document !== 'object' || document === null) return undefined
  const { resourceType, url }: { resourceType?: unknown; url?: unknown } = document
  return DEFINING.has(resourceType) && typeof url === 'string' && url !== '' ? url : undefined
}

const DEFINING: ReadonlySet<unknown> = new Set(['StructureDefinition', 'ValueSet', 'CodeSystem'])

const NO_DEFINITION = settingsProblem(
  '',
  'a StructureDefinition, ValueSet or CodeSystem of R4 with a url',
  'Take other files out of this folder.',
)
const TAKEN = settingsProblem('url', 'a url that no other file of the folder has', 'Keep one of the two.')
