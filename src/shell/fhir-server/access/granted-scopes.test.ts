import { describe, expect, it } from 'vitest'
import { coversScopes } from './granted-scopes.ts'

const ASKED = ['system/Observation.cus', 'system/Patient.rs']

describe('coversScopes', () => {
  it.each([
    ['the same', 'system/Observation.cus system/Patient.rs'],
    ['another order', 'system/Patient.rs  system/Observation.cus'],
    ['letters split up', 'system/Observation.c system/Observation.us system/Patient.r system/Patient.s'],
    ['more letters', 'system/Observation.cruds system/Patient.rs'],
    ['letters out of order', 'system/Observation.suc system/Patient.sr'],
    ['more scopes', 'launch system/Observation.cus system/Device.c system/Patient.rs'],
    ['a wildcard', 'system/*.cruds'],
    ['version 1, write and read', 'system/Observation.write system/Observation.read system/Patient.read'],
    ['version 1, everything', 'system/*.*'],
  ])('takes %s', (_what, granted) => {
    expect(coversScopes(granted, ASKED)).toBe(true)
  })

  it.each([
    ['nothing', ''],
    ['a scope less', 'system/Observation.cus'],
    ['a letter less', 'system/Observation.cs system/Patient.rs'],
    ['another context', 'user/Observation.cus system/Patient.rs'],
    ['version 1 read, which means no create', 'system/Observation.read system/Patient.rs'],
    ['version 1 write for a search', 'system/Observation.write system/Patient.rs'],
    ['a grant narrowed by a search', 'system/Observation.cus?category=laboratory system/Patient.rs'],
  ])('does not take %s', (_what, granted) => {
    expect(coversScopes(granted, ASKED)).toBe(false)
  })

  it('reads version 1 that was asked for', () => {
    expect(coversScopes('system/Observation.cruds', ['system/Observation.write'])).toBe(true)
    expect(coversScopes('system/Observation.cu', ['system/Observation.write'])).toBe(false)
  })

  it('wants a wildcard that was asked for', () => {
    expect(coversScopes('system/Observation.rs', ['system/*.rs'])).toBe(false)
  })

  it('takes a narrowed grant where the same was asked for', () => {
    const narrowed = 'system/Observation.rs?category=vital-signs'
    expect(coversScopes(narrowed, [narrowed])).toBe(true)
    expect(coversScopes('system/Observation.rs', [narrowed])).toBe(true)
  })

  it('wants a scope that is none of SMART’s as it stands', () => {
    expect(coversScopes('https://fhir.example/.default', ['https://fhir.example/.default'])).toBe(true)
    expect(coversScopes('system/*.cruds', ['https://fhir.example/.default'])).toBe(false)
  })
})
