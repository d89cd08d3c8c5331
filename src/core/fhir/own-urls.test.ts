import { readFileSync } from 'node:fs'
import type { CodeSystem, Coding, ElementDefinition, Extension, StructureDefinition } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { emittedResources } from '../../../tests/support/emitted-resources.ts'
import { profileFiles, profileJson } from '../../../tests/support/shipped-profiles.ts'
import { ATTENTION_CODES } from '../clinical/finding.ts'
import { DEFAULT_CANONICAL_BASE } from './canonical-base.ts'
import { OWN_EXTENSIONS, ownUrls } from './own-urls.ts'

const definitions = new Map(
  profileFiles('structure-definitions')
    .map((file) => profileJson(`structure-definitions/${file}`) as StructureDefinition)
    .filter(({ type }) => type === 'Extension')
    .map((definition) => [definition.url, definition] as const),
)

/** Every extension of ours in a value, with the path of the element it stands on. */
function ownExtensions(value: unknown, path: string): readonly (readonly [string, Extension])[] {
  if (typeof value !== 'object' || value === null) return []
  if (Array.isArray(value)) return value.flatMap((inner) => ownExtensions(inner, path))
  const here = value as Record<string, unknown>
  const at = typeof here.resourceType === 'string' ? here.resourceType : path
  return Object.entries(here).flatMap(([key, inner]) => {
    const found = key === 'extension' ? (inner as Extension[]).filter(({ url }) => isOurs(url)) : []
    return [...found.map((one) => [at, one] as const), ...ownExtensions(inner, `${at}.${key}`)]
  })
}

/** Every coding of one system in a value. */
function codingsOf(value: unknown, system: string | undefined): readonly Coding[] {
  if (typeof value !== 'object' || value === null) return []
  const inner = Object.values(value).flatMap((one) => codingsOf(one, system))
  return 'system' in value && value.system === system && 'code' in value ? [value as Coding, ...inner] : inner
}

function isOurs(url: string): boolean {
  return url.startsWith(DEFAULT_CANONICAL_BASE)
}

const emitted = emittedResources().flatMap(([, resource]) =>
  ownExtensions(JSON.parse(JSON.stringify(resource)), resource.resourceType),
)

describe('our extensions', () => {
  it('have a StructureDefinition each, and none is defined that is not ours', () => {
    const urls = Object.values(ownUrls(DEFAULT_CANONICAL_BASE).extension)
    expect([...definitions.keys()].toSorted()).toEqual(urls.toSorted())
  })

  it('are all among what the examples write, so that the checks below see every one', () => {
    const seen = new Set(emitted.map(([, { url }]) => url))
    expect(seen.size).toBe(Object.keys(OWN_EXTENSIONS).length)
  })

  it('stand where their StructureDefinition says they may', () => {
    for (const [path, { url }] of emitted) {
      const contexts = definitions.get(url)?.context?.map(({ expression }) => expression) ?? []
      const onQuantity = path.endsWith('.valueQuantity') ? ['Quantity'] : []
      expect(
        contexts.filter((one) => [path, ...onQuantity].includes(one)),
        `${url} on ${path}`,
      ).toHaveLength(1)
    }
  })

  it('hold the parts, numbers of parts and types their StructureDefinition names, and no others', () => {
    for (const [, extension] of emitted) {
      expect(problems(extension, 'Extension', elementsOf(extension.url)), extension.url).toEqual([])
    }
  })

  it('are found wanting when a part is missing, unknown or of another type', () => {
    const elements = elementsOf(`${DEFAULT_CANONICAL_BASE}/StructureDefinition/exclusion`)
    const extension = (parts: Extension[]) => problems({ url: 'x', extension: parts }, 'Extension', elements)
    const reading = { url: 'reading', valueReference: { reference: 'Observation/1' } }
    const reason = { url: 'reason', valueCoding: { code: 'first-day' } }
    expect(extension([reading, reason, { url: 'text', valueString: 'why' }])).toEqual([])
    expect(extension([reading, reason])).toEqual(['Extension.extension:text: 0 parts'])
    expect(extension([reading, reason, { url: 'text', valueCode: 'why' }])).toEqual([
      'Extension.extension:text: value of another type',
    ])
    expect(
      extension([reading, reason, { url: 'text', valueString: 'why' }, { url: 'more', valueInteger: 1 }]),
    ).toEqual(['Extension.extension:more: no such part'])
  })
})

it('measure in the units their StructureDefinition names', () => {
  const elements = elementsOf(ownUrls(DEFAULT_CANONICAL_BASE).extension.meanPulse)
  const pulse = (code: string) => ({
    url: 'x',
    valueQuantity: { value: 60, system: 'http://unitsofmeasure.org', code },
  })
  expect(problems(pulse('/min'), 'Extension', elements)).toEqual([])
  expect(problems(pulse('mm[Hg]'), 'Extension', elements)).toEqual(['Extension: code of another unit'])
})

describe('our code system', () => {
  const system = profileJson('code-systems/home-bp-gateway.json') as CodeSystem
  const displays = new Map(system.concept?.map(({ code, display }) => [code, display]))

  it('lies under the URL that is written, and has each code once, with its definition', () => {
    expect(system.url).toBe(ownUrls(DEFAULT_CANONICAL_BASE).codeSystem)
    expect(displays.size).toBe(system.concept?.length)
    expect(system.concept?.every(({ definition = '' }) => definition !== '')).toBe(true)
  })

  it('defines every code of ours that the examples write, under the name they write', () => {
    const written = emittedResources().flatMap(([, resource]) => codingsOf(resource, system.url))
    const codes = new Set(written.map(({ code }) => code))
    for (const code of ['attention', ...ATTENTION_CODES]) expect(codes).toContain(code)
    expect(codes).toContain('first-day')
    for (const { code, display } of written) {
      expect(displays.has(code ?? ''), code).toBe(true)
      if (display !== undefined) expect(display).toBe(displays.get(code ?? ''))
    }
  })
})

describe('the StructureDefinitions', () => {
  it.each([...definitions])(
    '%s is a complete R4 extension definition named like its file',
    (url, definition) => {
      expect(definition).toMatchObject({
        resourceType: 'StructureDefinition',
        fhirVersion: '4.0.1',
        kind: 'complex-type',
        abstract: false,
        type: 'Extension',
        baseDefinition: 'http://hl7.org/fhir/StructureDefinition/Extension',
        derivation: 'constraint',
      })
      expect(url.endsWith(`/StructureDefinition/${definition.id}`)).toBe(true)
      const file = new URL(`../../../profiles/structure-definitions/${definition.id}.json`, import.meta.url)
      expect(JSON.parse(readFileSync(file, 'utf8')).url).toBe(url)
      const fixed = definition.differential?.element.find(({ id }) => id === 'Extension.url')
      expect(fixed?.fixedUri).toBe(url)
    },
  )
})

it('move with the canonical base of the settings', () => {
  const base = 'https://gateway.clinic.example'
  expect(ownUrls(base).extension.exclusion).toBe(`${base}/StructureDefinition/exclusion`)
  expect(ownUrls(DEFAULT_CANONICAL_BASE).identifier.reading).toBe(
    'https://home-bp-gateway.example/fhir/reading',
  )
})

function elementsOf(url: string): readonly ElementDefinition[] {
  return definitions.get(url)?.differential?.element ?? []
}

/** What of an extension its differential does not allow, by element id. */
function problems(
  extension: Extension,
  id: string,
  elements: readonly ElementDefinition[],
): readonly string[] {
  const found: string[] = []
  const value = elements.find((element) => element.id === `${id}.value[x]`)
  const valueKeys = Object.keys(extension).filter((key) => key.startsWith('value'))
  const allowed = value?.type?.map(({ code }) => `value${code.charAt(0).toUpperCase()}${code.slice(1)}`) ?? []
  if (value?.max === '0' ? valueKeys.length > 0 : !allowed.includes(valueKeys[0] ?? '')) {
    found.push(`${id}: value of another type`)
  }
  const { valueQuantity = {} } = extension
  for (const [key, wanted] of Object.entries(value?.patternQuantity ?? {})) {
    if (valueQuantity[key as 'system' | 'code'] !== wanted) found.push(`${id}: ${key} of another unit`)
  }
  const slices = elements.filter(
    (element) => element.sliceName !== undefined && element.id === `${id}.extension:${element.sliceName}`,
  )
  const parts = extension.extension ?? []
  for (const { sliceName, min = 0, max = '*', id: sliceId } of slices) {
    const named = parts.filter(({ url }) => url === sliceName)
    if (named.length < min || (max !== '*' && named.length > Number(max))) {
      found.push(`${sliceId}: ${named.length} parts`)
    }
    for (const part of named) found.push(...problems(part, sliceId ?? '', elements))
  }
  for (const { url } of parts) {
    if (!slices.some(({ sliceName }) => sliceName === url)) found.push(`${id}.extension:${url}: no such part`)
  }
  return found
}
