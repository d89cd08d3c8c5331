import { describe, expect, it } from 'vitest'
import { problems, spoilt } from '../../../tests/support/spoilt-resource.ts'
import { validPatient, validReading } from '../../../tests/support/valid-resources.ts'
import { blocks } from '../basics/issue.ts'
import { LIMITS } from './limits.ts'
import { validateResource } from './validate-resource.ts'

describe('hostile input is refused quickly', () => {
  it('deep nesting, where R4 nests and where it does not', () => {
    let extension: unknown = { url: 'u', valueCode: 'c' }
    for (let i = 0; i < 200_000; i++) extension = { url: 'u', extension: [extension] }
    expect(problems({ ...validReading(), extension: [extension] })).toEqual(['TOO_DEEP Observation'])

    let unknown: unknown = 1
    for (let i = 0; i < 200_000; i++) unknown = [unknown]
    expect(problems({ ...validReading(), code: { ...validReading().code, unknown } })).toEqual([
      'STRUCTURE Observation.code.unknown',
    ])
    expect(problems(spoilt({ ...validReading() }, 'id', 'r'))).toEqual([])
  })

  it('bundles within bundles', () => {
    let bundle: unknown = { resourceType: 'Bundle', type: 'collection' }
    for (let i = 0; i < 1000; i++)
      bundle = { resourceType: 'Bundle', type: 'collection', entry: [{ resource: bundle }] }
    const at = `Bundle${'.entry[0].resource'.repeat(LIMITS.resourceDepth)}`
    expect(problems(bundle)).toEqual([`TOO_DEEP ${at}`])
  })

  it('too many elements', () => {
    const performer = Array.from({ length: LIMITS.elements + 1 }, () => 5)
    expect(problems({ ...validReading(), performer })).toEqual(['TOO_MANY Observation'])
    const keys = Object.fromEntries(performer.map((_, i) => [`key${i}`, 1]))
    expect(problems({ ...validReading(), ...keys })).toEqual(['TOO_MANY Observation'])
  })

  it('as many wrong items as fit the limit', () => {
    const performer = Array.from({ length: LIMITS.elements - 1000 }, () => 5)
    const started = performance.now()
    expect(problems({ ...validReading(), performer })).toHaveLength(LIMITS.issues)
    expect(performance.now() - started).toBeLessThan(5000)
  })

  it('texts beyond the limit, and the longest ones within it', () => {
    const long = 'a '.repeat(LIMITS.textLength / 2)
    expect(problems({ ...validReading(), device: { display: `${long}a` } })).toEqual([
      'TOO_LARGE Observation',
    ])
    const within = long.slice(0, -1)
    const narrative = `<div xmlns="http://www.w3.org/1999/xhtml">${'<'.repeat(500_000)}</div>`
    const photo = { contentType: within, data: 'AAAA'.repeat(LIMITS.textLength / 4) }
    const resource = {
      ...validPatient(),
      photo: [photo, { data: `${'AAAA   '.repeat(100_000)}!`, contentType: 'a/b' }],
    }
    expect(problems(resource)).toEqual([
      'CODE mime-type Patient.photo[0].contentType',
      'STRUCTURE Patient.photo[1].data',
    ])
    expect(problems(spoilt(validReading(), 'text.div', narrative))).toEqual([
      'INVARIANT txt-1 Observation.text.`div`',
    ])
  })

  it('lists a thousand issues that block, never fewer because of warnings, and says that there are more', () => {
    const entry = Array.from({ length: 1500 }, () => ({ resource: { resourceType: 'Device' } }))
    const bad = { resource: { resourceType: 'Device', deviceName: 5 } }
    const issues = validateResource({ resourceType: 'Bundle', type: 'collection', entry: [...entry, bad] })
    expect(issues.filter(({ severity }) => severity === 'warning')).toHaveLength(LIMITS.issues)
    expect(issues.filter(blocks).map(({ at }) => at)).toEqual(['Bundle.entry[1500].resource.deviceName'])
    expect(issues.at(-1)).toMatchObject({ severity: 'information', code: 'TOO_MANY' })
  })
})
