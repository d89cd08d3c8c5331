import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type DecodedLines, StrictDecoder } from './strict-decoder.ts'

function decode(
  encoding: ConstructorParameters<typeof StrictDecoder>[0],
  pieces: readonly Buffer[],
  lineBytes = 100,
) {
  const decoder = new StrictDecoder(encoding, lineBytes)
  let text = ''
  for (const step of [...pieces.map((piece) => () => decoder.push(piece)), () => decoder.end()]) {
    const decoded: DecodedLines = step()
    text += decoded.text
    if (decoded.end !== undefined) return { text, end: decoded.end }
  }
  return { text }
}

describe('a strict decoder', () => {
  it.each([
    ['utf-8', [0x61, 0xe2, 0x82, 0xac, 0x0a], 'a€\n'],
    ['utf-8', [0xef, 0xbb, 0xbf, 0x61], 'a'],
    ['windows-1252', [0x61, 0x80, 0xe9], 'a€é'],
    ['iso-8859-1', [0x61, 0xe9, 0xa0], 'aé\u00a0'],
    ['windows-1252', [0x9f, 0x9e, 0x9c, 0x82, 0x91], 'Ÿžœ‚‘'],
    ['utf-16le', [0xff, 0xfe, 0x61, 0x00, 0x0a, 0x00], 'a\n'],
    ['utf-16le', [0x3d, 0xd8, 0x00, 0xde], '😀'],
  ] as const)('reads %s %j', (encoding, bytes, text) => {
    expect(decode(encoding, [Buffer.from(bytes)])).toEqual({ text })
  })

  it.each([
    ['utf-8', 'a byte that begins nothing', [0x61, 0x0a, 0x80]],
    ['utf-8', 'a sign that is cut off', [0x61, 0x0a, 0xe2, 0x82]],
    ['utf-8', 'an overlong sign', [0x61, 0x0a, 0xc0, 0xaf]],
    ['utf-8', 'half a pair', [0x61, 0x0a, 0xed, 0xa0, 0x80]],
    ['utf-8', 'UTF-16 without a mark', [0x61, 0x0a, 0x61, 0x00]],
    ['windows-1252', 'a byte the encoding leaves open', [0x61, 0x0a, 0x81]],
    ['windows-1252', 'a NUL', [0x61, 0x0a, 0x00]],
    ['iso-8859-1', 'the euro sign of windows-1252', [0x61, 0x0a, 0x80]],
    ['iso-8859-1', 'a control', [0x61, 0x0a, 0x81]],
    ['utf-16le', 'half a pair', [0x61, 0x00, 0x0a, 0x00, 0x3d, 0xd8, 0x61, 0x00]],
    ['utf-16le', 'half a sign', [0x61, 0x00, 0x0a, 0x00, 0x61]],
  ] as const)('of %s refuses %s, and gives the line before', (encoding, _, bytes) => {
    expect(decode(encoding, [Buffer.from(bytes)])).toEqual({
      text: 'a\n',
      end: { reason: 'not-in-encoding', line: 2 },
    })
  })

  it('leaves a byte order mark inside the text where it is', () => {
    expect(decode('utf-8', [Buffer.from('\ufeffa\n\ufeffb\n'), Buffer.from('\ufeffc')])).toEqual({
      text: 'a\n\ufeffb\n\ufeffc',
    })
  })

  it.each(['utf-8', 'utf-16le'] as const)('does not hold a line of %s beyond its limit', (encoding) => {
    const bytes = Buffer.from(`a\n${'b'.repeat(101)}`, encoding === 'utf-8' ? 'utf8' : 'utf16le')
    expect(decode(encoding, [bytes])).toEqual({ text: 'a\n', end: { reason: 'row-too-long', line: 2 } })
  })

  it('finds the line feeds of UTF-16 between signs only', () => {
    const text = 'ab\u0a00\u0a0ac\u000a\u0a41\u2600d\n'
    expect(decode('utf-16le', [Buffer.from(text, 'utf16le')])).toEqual({ text })
    const broken = Buffer.concat([
      Buffer.from(`\u0a00\u000a\n${text}`, 'utf16le'),
      Buffer.from([0x00, 0xd8, 0x0a, 0x00]),
    ])
    expect(decode('utf-16le', [broken])).toEqual({
      text: `\u0a00\u000a\n${text}`,
      end: { reason: 'not-in-encoding', line: 5 },
    })
  })

  it('gives back every text, however its bytes are cut', () => {
    const texts = fc.array(fc.constantFrom('a', 'ä', '€', '😀', '\n', '\u0a0a', '\r\n'), { maxLength: 60 })
    const cuts = fc.array(fc.nat(240), { maxLength: 8 })
    fc.assert(
      fc.property(
        texts,
        cuts,
        fc.constantFrom('utf-8' as const, 'utf-16le' as const),
        (signs, places, encoding) => {
          const text = signs.join('')
          const bytes = Buffer.from(text, encoding === 'utf-8' ? 'utf8' : 'utf16le')
          const at = [0, ...places.sort((one, two) => one - two), bytes.length]
          const pieces = at.slice(1).map((end, index) => bytes.subarray(at[index], end))
          expect(decode(encoding, pieces, 1000)).toEqual({ text })
        },
      ),
    )
  })
})
