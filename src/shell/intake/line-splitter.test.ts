import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Line, LineSplitter } from './line-splitter.ts'

function split(chunks: readonly Buffer[], limit = 1_000): readonly Line[] {
  const splitter = new LineSplitter(limit)
  return [...chunks.flatMap((chunk) => splitter.push(chunk)), ...splitter.end()]
}

describe('cutting a byte stream into lines', () => {
  it('gives the same lines however the stream is cut into chunks', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: 'grapheme' })), fc.array(fc.nat(200)), (texts, cuts) => {
        const whole = Buffer.from(texts.join('\n'))
        const places = [...cuts.filter((cut) => cut < whole.length).sort((a, b) => a - b), whole.length]
        const chunks = places.map((place, index) =>
          whole.subarray(index === 0 ? 0 : places[index - 1], place),
        )
        expect(split(chunks)).toEqual(split([whole]))
      }),
    )
  })

  it('counts blank lines and leaves them out', () => {
    expect(split([Buffer.from('a\n\n \r\nb\r\n')])).toEqual([
      { number: 1, bytes: 1, text: 'a' },
      { number: 4, bytes: 2, text: 'b\r' },
    ])
  })

  it('takes a last line without a line feed', () => {
    expect(split([Buffer.from('a\nb')]).map((line) => line.text)).toEqual(['a', 'b'])
  })

  it('reports a line above the limit and goes on with the next', () => {
    const lines = split([Buffer.from('12345'), Buffer.from('67890\nab\n'), Buffer.from('1'.repeat(50))], 9)
    expect(lines).toEqual([
      { number: 1, bytes: 10, problem: 'too-long' },
      { number: 2, bytes: 2, text: 'ab' },
      { number: 3, bytes: 50, problem: 'too-long' },
    ])
  })

  it('takes a line of exactly the limit', () => {
    expect(split([Buffer.from('123456789\n')], 9)).toEqual([{ number: 1, bytes: 9, text: '123456789' }])
  })

  it('reports bytes that are not UTF-8 with their line', () => {
    expect(split([Buffer.from('a\n'), Buffer.from([0xc3, 0x28]), Buffer.from('\nb')])).toEqual([
      { number: 1, bytes: 1, text: 'a' },
      { number: 2, bytes: 2, problem: 'not-utf8' },
      { number: 3, bytes: 1, text: 'b' },
    ])
  })
})
