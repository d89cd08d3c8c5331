import type { CodeSystem, ElementDefinition, StructureDefinition, ValueSet } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { profileFiles, profileJson } from '../../../../tests/support/shipped-profiles.ts'
import { RECORDING_LEFT_OUT_REASONS } from '../../clinical/ambulatory/recording-average.ts'
import { REASONS } from '../../clinical/averaging/selection/reasons.ts'
import { ATTENTION_CODES, FINDING_CODES } from '../../clinical/finding.ts'
import { DEFAULT_CANONICAL_BASE } from '../canonical-base.ts'
import { OWN_EXTENSIONS, OWN_PROFILES, OWN_VALUE_SETS, ownUrls } from '../own-urls.ts'
import { conformanceDocuments } from './conformance-documents.ts'

const FOLDERS = ['structure-definitions', 'value-sets', 'code-systems'] as const
const own = ownUrls(DEFAULT_CANONICAL_BASE)
const made = conformanceDocuments()

type Document = StructureDefinition | ValueSet | CodeSystem

const shipped: readonly (readonly [string, Document])[] = FOLDERS.flatMap((folder) =>
  profileFiles(folder).map((file) => {
    const path = `${folder}/${file}`
    return [path, profileJson(path) as Document] as const
  }),
)
const definitions = shipped
  .map(([, one]) => one)
  .filter((one): one is StructureDefinition => one.resourceType === 'StructureDefinition')
const valueSets = new Map(
  shipped.flatMap(([, one]) => (one.resourceType === 'ValueSet' ? [[one.url, one] as const] : [])),
)
const codesOf = new Map(
  shipped.flatMap(([, one]) =>
    one.resourceType === 'CodeSystem'
      ? [[one.url, new Map(one.concept?.map(({ code, display }) => [code, display]))] as const]
      : [],
  ),
)

describe('our conformance documents', () => {
  it.each([...made])('%s is what the generator makes of the code', (path, document) => {
    expect(profileJson(path)).toEqual(JSON.parse(JSON.stringify(document)))
  })

  it('are all made by the generator or define an extension, so that none is left behind', () => {
    const byHand = Object.values(OWN_EXTENSIONS).map((id) => `structure-definitions/${id}.json`)
    expect(shipped.map(([path]) => path).toSorted()).toEqual([...made.keys(), ...byHand].toSorted())
  })

  it.each(shipped)('%s has a URL, an id and a file of one name, and a name of its own', (path, document) => {
    const { id, url, resourceType, name } = document
    expect(url).toBe(`${DEFAULT_CANONICAL_BASE}/${resourceType}/${id}`)
    expect(path.endsWith(`/${id}.json`)).toBe(true)
    expect(name).toMatch(/^[A-Z][A-Za-z0-9]{0,254}$/)
    expect(shipped.filter(([, other]) => other.name === name)).toHaveLength(1)
  })

  it('define every profile and value set that has a URL, and no others', () => {
    const profiles = definitions.filter(({ type }) => type !== 'Extension').map(({ id }) => id)
    expect(profiles.toSorted()).toEqual(Object.values(OWN_PROFILES).toSorted())
    expect([...valueSets.keys()].toSorted()).toEqual(Object.values(own.valueSet).toSorted())
    expect(Object.values(OWN_VALUE_SETS)).toHaveLength(valueSets.size)
    expect([...codesOf.keys()].toSorted()).toEqual(
      [own.findingSystem, own.codeSystem, own.errorSystem].toSorted(),
    )
  })
})

describe('the definitions', () => {
  const elements = definitions.flatMap(({ id, differential }) =>
    (differential?.element ?? []).map((one) => [`${id}: ${one.id}`, one] as const),
  )

  it('bind to value sets that ship', () => {
    const bound = elements.flatMap(([, { binding }]) => binding?.valueSet ?? [])
    expect(bound.length).toBeGreaterThan(5)
    for (const url of bound) expect([...valueSets.keys()]).toContain(url)
  })

  it('refer to extensions and profiles of ours that ship', () => {
    const urls = definitions.map(({ url }) => url)
    const named = elements
      .flatMap(([, { type = [] }]) =>
        type.flatMap((one) => [...(one.profile ?? []), ...(one.targetProfile ?? [])]),
      )
      .filter((url) => url.startsWith(DEFAULT_CANONICAL_BASE))
    expect(named.length).toBeGreaterThan(15)
    for (const url of named) expect(urls).toContain(url)
  })

  it('list their elements by path, each id once, children after their parent', () => {
    for (const { id, differential } of definitions) {
      const ids = (differential?.element ?? []).map((one) => one.id ?? '')
      expect(new Set(ids).size, id).toBe(ids.length)
      for (const [index, one] of ids.entries()) {
        const slice = /:[^.:]+$/.exec(one)
        if (slice === null) continue
        expect(ids.indexOf(one.slice(0, slice.index)), `${id}: ${one}`).toBeLessThan(index)
        expect(ids.indexOf(one.slice(0, slice.index)), `${id}: ${one}`).toBeGreaterThanOrEqual(0)
      }
    }
  })

  it('tell their slices apart: every sliced element says by what', () => {
    for (const [name, one] of elements) {
      if (one.sliceName === undefined) continue
      expect(slicingOf(name, elements).length, name).toBeGreaterThan(0)
    }
  })
})

describe('the value sets', () => {
  const codes = (name: keyof typeof OWN_VALUE_SETS) =>
    valueSets
      .get(own.valueSet[name])
      ?.compose?.include.flatMap(({ concept = [] }) => concept.map(({ code }) => code))

  it.each([...valueSets])('%s lists codes of our systems under the names these give', (_, { compose }) => {
    for (const { system = '', concept = [] } of compose?.include ?? []) {
      expect(concept.length).toBeGreaterThan(0)
      for (const { code, display } of codesOf.has(system) ? concept : []) {
        expect(codesOf.get(system)?.get(code), code).toBe(display)
      }
    }
  })

  it('hold every reason and every finding there is', () => {
    const reasons = new Set<string>([...REASONS, ...RECORDING_LEFT_OUT_REASONS])
    expect(codes('leftOutReasons')?.toSorted()).toEqual([...reasons].toSorted())
    expect(codes('findings')?.toSorted()).toEqual([...FINDING_CODES].toSorted())
    expect(codes('attentionCalls')).toEqual([...ATTENTION_CODES])
  })
})

describe('the code systems', () => {
  it.each(
    shipped.flatMap(([path, one]) => (one.resourceType === 'CodeSystem' ? [[path, one] as const] : [])),
  )('%s is complete, counts its concepts, and defines each', (_, system) => {
    expect(system).toMatchObject({ content: 'complete', caseSensitive: true, count: system.concept?.length })
    expect(system.concept?.every(({ display, definition }) => display !== '' && definition !== '')).toBe(true)
  })
})

function slicingOf(
  name: string,
  elements: readonly (readonly [string, ElementDefinition])[],
): readonly { readonly path: string }[] {
  const sliced = name.replace(/:[^.:]+$/, '')
  return elements.find(([other]) => other === sliced)?.[1].slicing?.discriminator ?? []
}
