import fc from 'fast-check'
import { v5 } from 'uuid'
import { describe, expect, it } from 'vitest'
import { uuidV5, uuidV5sIn } from './uuid-v5.ts'

const DNS = '6ba7b810-9dad-11d1-80b4-00c04fd430c8'

describe('uuidV5', () => {
  it('gives the example of RFC 9562, appendix A.4', () => {
    expect(uuidV5(DNS, 'www.example.com')).toBe('2ed6657d-e927-568b-95e1-2665a8aea6a2')
  })

  it('agrees with the uuid library for any namespace and any text', () => {
    fc.assert(
      fc.property(fc.uuid(), fc.string({ unit: 'grapheme', maxLength: 300 }), (namespace, name) => {
        expect(uuidV5(namespace, name)).toBe(v5(name, namespace))
      }),
    )
  })

  it('keeps agreeing when more namespaces were used than it remembers', () => {
    for (let index = 0; index < 200; index++) {
      const namespace = v5(`namespace ${index}`, DNS)
      expect(uuidV5(namespace, 'reading')).toBe(v5('reading', namespace))
    }
    expect(uuidV5(DNS, 'again')).toBe(v5('again', DNS))
  })
})

describe('uuidV5sIn', () => {
  it('finds each that stands in a text, whatever stands around it', () => {
    const text = fc.string({ unit: fc.constantFrom(...'0123456789abcdef-5"4 '), maxLength: 60 })
    fc.assert(
      fc.property(fc.array(fc.tuple(text, fc.string())), text, (pieces, end) => {
        const uuids = pieces.map(([, name]) => uuidV5(DNS, name))
        const whole = pieces.map(([before], index) => `${before}"${uuids[index]}`).join('') + end
        expect([...uuidV5sIn(whole)]).toEqual(expect.arrayContaining(uuids))
      }),
    )
  })

  it('finds nothing that is no name-based UUID, nor one that was cut off', () => {
    const own = uuidV5(DNS, 'reading')
    const other = '9b2c1f5a-5f6e-4f57-8d52-5a1c5b5d5e5f'
    expect([...uuidV5sIn(`${other} -5 ${own.slice(1)} ${own.toUpperCase()} ${own.slice(0, -1)}`)]).toEqual([])
    expect([...uuidV5sIn('')]).toEqual([])
  })
})
