import { describe, expect, it } from 'vitest'
import { segment } from './segment.ts'

describe('segment', () => {
  it('puts a field at its number and leaves those between empty', () => {
    expect(segment('OBX', { 1: '1', 5: '131' })).toBe('OBX|1||||131')
  })

  it('counts MSH from its separators: field 3 is the first that is written', () => {
    expect(segment('MSH', { 3: 'BPGW', 5: 'EHR' })).toBe('MSH|^~\\&|BPGW||EHR')
  })

  it('cuts what is empty at the end of a field, a component and a segment', () => {
    expect(segment('PID', { 3: ['1', '', ['a', '', ''], '', ''], 4: '', 5: ['', ''], 9: undefined })).toBe(
      'PID|||1^^a',
    )
  })

  it('writes subcomponents and repetitions', () => {
    expect(segment('OBR', { 29: ['', ['u', 'BPGW']] })).toBe(`OBR${'|'.repeat(29)}^u&BPGW`)
    expect(segment('PID', { 5: { repeated: ['', ['', 'U']] } })).toBe('PID|||||~^U')
  })

  it('escapes every part', () => {
    expect(segment('NTE', { 3: ['a|b', ['c&d', 'e^f'], 'g~h\\'] })).toBe(
      'NTE|||a\\F\\b^c\\T\\d&e\\S\\f^g\\R\\h\\E\\',
    )
  })
})
