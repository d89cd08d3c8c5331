import { describe, expect, it } from 'vitest'
import { frozen } from '../../basics/frozen.ts'
import { errorsIn, validateResource } from '../validate-resource.ts'

const device = (type: unknown) => ({ resourceType: 'Device', text: NARRATIVE, type })
const NARRATIVE = { status: 'generated', div: '<div xmlns="http://www.w3.org/1999/xhtml">A monitor</div>' }

describe('values that never change', () => {
  it('reports what is wrong with a frozen concept each time it is met', () => {
    const wrong = frozen({ coding: [{ code: '' }] })
    const first = validateResource(device(wrong))
    expect(first).not.toEqual([])
    expect(validateResource(device(wrong))).toEqual(first)
  })

  it('finds a right frozen concept right the second time too', () => {
    const right = frozen({ text: 'Monitor' })
    expect([validateResource(device(right)), validateResource(device(right))]).toEqual([[], []])
  })

  it('does not take a concept found right for another type', () => {
    const concept = frozen({ text: 'Monitor' })
    validateResource(device(concept))
    const asMeta = { resourceType: 'Device', text: NARRATIVE, meta: concept }
    expect(validateResource(asMeta)).toContainEqual(
      expect.objectContaining({ code: 'STRUCTURE', at: 'Device.meta.text' }),
    )
  })

  it('does not remember a frozen concept that holds a coding which can change', () => {
    const coding = { system: 'http://a.example/kinds', code: 'monitor' }
    const concept = Object.freeze({ coding: Object.freeze([coding]) })
    expect(validateResource(device(concept))).toEqual([])
    coding.code = ''
    expect(validateResource(device(concept))).not.toEqual([])
  })

  it('asks each resource anew where a frozen reference leads inside it', () => {
    const owner = frozen({ reference: '#clinic' })
    const contained = [{ resourceType: 'Device', id: 'clinic', parent: { reference: '#' } }]
    const held = { resourceType: 'Device', text: NARRATIVE, contained, parent: owner }
    validateResource(held)
    const { contained: _, ...lost } = held
    expect(validateResource(lost)).toContainEqual(expect.objectContaining({ rule: 'ref-1' }))
  })

  it('keeps what only blocks apart from what also warns', () => {
    const bare = frozen({ coding: [{ code: 'monitor' }] })
    expect(errorsIn(device(bare))).toEqual([])
    expect(validateResource(device(bare))).toContainEqual(expect.objectContaining({ severity: 'warning' }))
  })
})
