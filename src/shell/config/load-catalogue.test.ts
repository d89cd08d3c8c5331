import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { loadCatalogue } from './load-catalogue.ts'
import { packageRoot, packageVersion } from './package-root.ts'

const SETTINGS = { canonicalBase: 'https://gateway.example/fhir', destinations: [] }

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'catalogue-'))
})
afterEach(() => rmSync(folder, { recursive: true }))

describe('loading the catalogue', () => {
  it('holds every published protocol and threshold set of the package', () => {
    const { protocols, thresholdSets } = loadCatalogue(SETTINGS)
    const files = (kind: string) =>
      readdirSync(join(packageRoot(), 'profiles', kind)).filter((name) => name.endsWith('.json'))
    expect(protocols.size).toBe(files('protocols').length)
    expect(thresholdSets.size).toBe(files('threshold-sets').length)
    expect(protocols.size).toBeGreaterThan(0)
    for (const [id, protocol] of protocols) expect(protocol.id).toBe(id)
  })

  it('adds the clinic’s own protocol', () => {
    const [published] = loadCatalogue(SETTINGS).protocols.values()
    writeFileSync(join(folder, 'ours.json'), JSON.stringify({ ...published, id: 'our-week' }))
    expect(loadCatalogue({ ...SETTINGS, protocolsFolder: folder }).protocols.has('our-week')).toBe(true)
  })

  it.each([
    ['is not JSON', '{', 'a JSON file'],
    ['breaks the schema', '{"id":"our-week"}', 'title: expected'],
  ])('refuses a file that %s, with its path', (_what, text, expected) => {
    writeFileSync(join(folder, 'ours.json'), text)
    const load = () => loadCatalogue({ ...SETTINGS, protocolsFolder: folder })
    expect(load).toThrow(join(folder, 'ours.json'))
    expect(load).toThrow(expected)
  })

  it('refuses an id that a published protocol has', () => {
    const [published] = loadCatalogue(SETTINGS).protocols.values()
    writeFileSync(join(folder, 'ours.json'), JSON.stringify(published))
    expect(() => loadCatalogue({ ...SETTINGS, protocolsFolder: folder })).toThrow(
      'id: expected an id that no other',
    )
  })

  it('refuses a protocol whose threshold set is not loaded', () => {
    const [published] = loadCatalogue(SETTINGS).protocols.values()
    writeFileSync(
      join(folder, 'ours.json'),
      JSON.stringify({ ...published, id: 'our-week', thresholdSets: ['no-such'] }),
    )
    expect(() => loadCatalogue({ ...SETTINGS, protocolsFolder: folder })).toThrow(
      'thresholdSets[0]: expected one of:',
    )
  })

  it('refuses a folder that is not there', () => {
    expect(() => loadCatalogue({ ...SETTINGS, protocolsFolder: join(folder, 'absent') })).toThrow(
      'a folder that can be read',
    )
  })

  it('names the package’s own version', () => {
    expect(packageVersion()).toMatch(/^\d+\.\d+\.\d+/)
  })

  it('says so when the package’s folder is nowhere above', () => {
    expect(() => packageRoot(pathToFileURL(join(folder, 'file.js')).href)).toThrow('install it again')
  })
})
