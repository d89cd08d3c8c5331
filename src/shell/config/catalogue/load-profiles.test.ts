import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { DEFAULT_CANONICAL_BASE } from '../../../core/fhir/canonical-base.ts'
import { PUBLISHED_PROFILES } from '../../../core/validation/profiles/published-profiles.ts'
import { packageRoot } from '../package-root.ts'
import { readSettings } from '../reading/read-settings.ts'
import { loadProfiles } from './load-profiles.ts'

const SETTINGS = { canonicalBase: DEFAULT_CANONICAL_BASE }
const URL = 'https://clinic.example/fhir/StructureDefinition/noted'
const NOTED = {
  resourceType: 'StructureDefinition',
  url: URL,
  name: 'Noted',
  status: 'active',
  kind: 'resource',
  abstract: false,
  type: 'Observation',
  baseDefinition: 'http://hl7.org/fhir/StructureDefinition/Observation',
  derivation: 'constraint',
  differential: { element: [{ id: 'Observation.note', path: 'Observation.note', min: 1 }] },
}

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'profiles-'))
})
afterEach(() => rmSync(folder, { recursive: true }))

const put = (name: string, document: unknown) => {
  const file = join(folder, name)
  writeFileSync(file, typeof document === 'string' ? document : JSON.stringify(document))
  return file
}
const load = () => loadProfiles({ ...SETTINGS, profilesFolder: folder }, packageRoot())

describe('loading profiles', () => {
  it('adds the deployment’s own to those that ship', () => {
    put('noted.json', NOTED)
    const { urls } = load()
    expect(urls.has(URL)).toBe(true)
    for (const url of PUBLISHED_PROFILES.urls) expect(urls.has(url), url).toBe(true)
    expect(urls.has('http://hl7.org/fhir/StructureDefinition/bp')).toBe(true)
  })

  it('takes one that lies in the package’s own folder of profiles', () => {
    mkdirSync(join(folder, 'profiles'))
    put('profiles/noted.json', NOTED)
    expect(loadProfiles(SETTINGS, folder).urls.has(URL)).toBe(true)
  })

  it('reads our own under the canonical base of the deployment', () => {
    const { urls } = loadProfiles({ canonicalBase: 'https://clinic.example/ours' }, packageRoot())
    expect(urls.has('https://clinic.example/ours/StructureDefinition/exclusion')).toBe(true)
  })

  it('is named in the settings, or in the environment', () => {
    expect(readSettings(undefined, { HOME_BP_PROFILES_FOLDER: folder }).profilesFolder).toBe(folder)
    expect(readSettings(put('gateway.json', { profilesFolder: 'p' }), {}).profilesFolder).toBe('p')
  })

  it.each([
    ['is not JSON', '{', 'column 2: expected JSON'],
    ['is another resource', { resourceType: 'Patient' }, 'a StructureDefinition, ValueSet or CodeSystem'],
    ['is a list', [NOTED], 'a StructureDefinition, ValueSet or CodeSystem'],
    ['has no url', { ...NOTED, url: undefined }, 'with a url'],
    ['has the url of another', NOTED, 'url: expected a url that no other file of the folder has'],
    [
      'has an element that cannot be read',
      { ...NOTED, url: `${URL}-2`, differential: { element: [{ path: 7 }] } },
      'differential.element[0]',
    ],
  ])('refuses a file that %s, with its path and the reason', (_what, document, reason) => {
    put('a.json', NOTED)
    const file = put('b.json', document)
    expect(load).toThrow(`${file} cannot be used`)
    expect(load).toThrow(reason)
  })

  it('refuses a folder that is not there', () => {
    const absent = join(folder, 'absent')
    expect(() => loadProfiles({ ...SETTINGS, profilesFolder: absent }, packageRoot())).toThrow(absent)
  })
})
