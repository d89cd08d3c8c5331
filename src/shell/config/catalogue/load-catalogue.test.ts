import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { exampleSettings } from '../../../../tests/support/example-settings.ts'
import { packageRoot, packageVersion } from '../package-root.ts'
import { readSettings } from '../reading/read-settings.ts'
import { loadCatalogue } from './load-catalogue.ts'

const SETTINGS = { canonicalBase: 'https://gateway.example/fhir', destinations: [] }

const CLINIC = { baseUrl: 'https://records.example/fhir' }

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'catalogue-'))
})
afterEach(() => rmSync(folder, { recursive: true }))

describe('loading the catalogue', () => {
  it('holds every published protocol, threshold set and recording rule of the package', () => {
    const { protocols, thresholdSets, recordingRules } = loadCatalogue(SETTINGS)
    const files = (kind: string) =>
      readdirSync(join(packageRoot(), 'profiles', kind)).filter((name) => name.endsWith('.json'))
    expect(protocols.size).toBe(files('protocols').length)
    expect(thresholdSets.size).toBe(files('threshold-sets').length)
    expect(recordingRules.size).toBe(files('recording-rules').length)
    expect(Math.min(protocols.size, thresholdSets.size, recordingRules.size)).toBeGreaterThan(0)
    for (const [id, protocol] of protocols) expect(protocol.id).toBe(id)
  })

  it('adds the clinic’s own protocol', () => {
    const [published] = loadCatalogue(SETTINGS).protocols.values()
    writeFileSync(join(folder, 'ours.json'), JSON.stringify({ ...published, id: 'our-week' }))
    expect(loadCatalogue({ ...SETTINGS, protocolsFolder: folder }).protocols.has('our-week')).toBe(true)
  })

  it.each([
    ['is not JSON', '{', 'column 2: expected JSON'],
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

  it('names the threshold set that was likely meant', () => {
    const [published] = loadCatalogue(SETTINGS).protocols.values()
    writeFileSync(
      join(folder, 'ours.json'),
      JSON.stringify({ ...published, id: 'our-week', thresholdSets: ['nice-ng136-hom'] }),
    )
    expect(() => loadCatalogue({ ...SETTINGS, protocolsFolder: folder })).toThrow(
      'Did you mean “nice-ng136-home”?',
    )
  })

  it('refuses a home protocol that names a threshold set for the mean of a night', () => {
    const [published] = loadCatalogue(SETTINGS).protocols.values()
    writeFileSync(
      join(folder, 'ours.json'),
      JSON.stringify({ ...published, id: 'our-week', thresholdSets: ['ksh-2013-ambulatory-night'] }),
    )
    expect(() => loadCatalogue({ ...SETTINGS, protocolsFolder: folder })).toThrow(
      'thresholdSets[0]: expected a threshold set whose setting is home.',
    )
  })

  it('refuses a folder that is not there', () => {
    expect(() => loadCatalogue({ ...SETTINGS, protocolsFolder: join(folder, 'absent') })).toThrow(
      'a folder that can be read',
    )
  })

  describe('of rules for 24-hour recordings', () => {
    const loadOurs = (change: Readonly<Record<string, unknown>>) => {
      const rule = loadCatalogue(SETTINGS).recordingRules.get('nice-ng136-recording')
      writeFileSync(join(folder, 'ours.json'), JSON.stringify({ ...rule, ...change }))
      return loadCatalogue({ ...SETTINGS, recordingRulesFolder: folder })
    }

    it('adds the clinic’s own', () => {
      expect(loadOurs({ id: 'our-day' }).recordingRules.has('our-day')).toBe(true)
    })

    it.each([
      ['an id that a protocol has', { id: 'nice-ng136-home' }, 'id: expected an id that no other file has'],
      [
        'an id that a published rule has',
        { id: 'nice-ng136-recording' },
        'id: expected an id that no other file has',
      ],
      [
        'a threshold set for home means',
        { id: 'our-day', thresholdSets: ['nice-ng136-home'] },
        'thresholdSets[0]: expected a threshold set whose setting is ambulatory-day.',
      ],
      [
        'a threshold set for a mean it does not work out',
        { id: 'our-day', thresholdSets: ['ksh-2013-ambulatory-night'] },
        'thresholdSets[0]: expected a threshold set whose setting is ambulatory-day.',
      ],
    ])('refuses %s', (_what, change, expected) => {
      expect(() => loadOurs(change)).toThrow(expected)
    })
  })

  describe('of what destinations name', () => {
    const load = (...destinations: readonly Readonly<Record<string, unknown>>[]) => {
      const written = destinations.map((one) => ({ name: 'clinic', ...CLINIC, ...one }))
      return loadCatalogue(exampleSettings({ destinations: written }))
    }

    it('takes a protocol that was read, or one that is common practice, as default', () => {
      const ward = { name: 'ward', protocol: 'fortnight-of-mornings' }
      const { destinations } = load({ protocol: 'nice-ng136-home' }, ward)
      expect([...destinations.values()].map(({ protocol }) => protocol)).toEqual([
        'nice-ng136-home',
        'fortnight-of-mornings',
      ])
    })

    it('takes the sample settings of the package', () => {
      const settings = readSettings(join(packageRoot(), 'samples', 'gateway.json'), {})
      const { destinations, protocols } = loadCatalogue(settings)
      const named = [...destinations.values()].map(({ protocol }) => protocols.has(protocol ?? ''))
      expect(named).toEqual([true])
    })

    it('refuses every default protocol from memory, and says what to do instead', () => {
      const memory = [...loadCatalogue(SETTINGS).protocols.values()].filter(
        ({ evidence }) => evidence === 'memory',
      )
      expect(memory.length).toBeGreaterThan(0)
      for (const { id } of memory) {
        expect(() => load({ protocol: id }), id).toThrow(
          'destinations[0].protocol: expected a protocol that was read in its source or in a report of it, not one written from memory. Open the source',
        )
      }
    })

    it('refuses a default protocol and threshold sets that are not loaded, all at once', () => {
      const wrong = () =>
        load({ protocol: 'nice-ng136-hom' }, { name: 'ward', thresholdSets: ['nice-ng136-home', 'no-such'] })
      expect(wrong).toThrow('destinations[0].protocol: expected one of: ')
      expect(wrong).toThrow('Did you mean “nice-ng136-home”?')
      expect(wrong).toThrow('destinations[1].thresholdSets[1]: expected one of: ')
    })
  })

  it('names the package’s own version', () => {
    expect(packageVersion()).toMatch(/^\d+\.\d+\.\d+/)
  })

  it('says so when the package’s folder is nowhere above', () => {
    expect(() => packageRoot(pathToFileURL(join(folder, 'file.js')).href)).toThrow('install it again')
  })
})
