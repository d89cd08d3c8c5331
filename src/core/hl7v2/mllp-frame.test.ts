import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { FrameSplitter, framed } from './mllp-frame.ts'

const bytes = (text: string) => new TextEncoder().encode(text)
const text = (message: Uint8Array) => new TextDecoder().decode(message)

describe('framed', () => {
  it('puts VT before and FS CR behind a message in UTF-8', () => {
    expect([...framed('é\r')]).toEqual([0x0b, 0xc3, 0xa9, 0x0d, 0x1c, 0x0d])
  })
})

describe('FrameSplitter', () => {
  it('finds the messages of a stream however it is cut, and garbage between frames', () => {
    const message = fc.string({
      unit: fc.constantFrom('M', 'S', '|', '\r', 'é', '\u001c ', '\n'),
      maxLength: 12,
    })
    const garbage = fc.string({ unit: fc.constantFrom('x', '\r', '\u001c'), maxLength: 4 })
    fc.assert(
      fc.property(fc.array(fc.tuple(garbage, message)), fc.array(fc.nat(9)), (parts, cuts) => {
        const stream = Buffer.concat(parts.flatMap(([before, one]) => [bytes(before), framed(one)]))
        const splitter = new FrameSplitter(1000)
        const found = cutUp(stream, cuts).flatMap((chunk) => splitter.feed(chunk).map(text))
        expect(found).toEqual(parts.map(([, one]) => one))
        expect(splitter.overflowed).toBe(false)
      }),
    )
  })

  it('begins anew at a VT inside a frame that was never ended', () => {
    const splitter = new FrameSplitter(100)
    expect(splitter.feed(bytes('\u000bhalf')).map(text)).toEqual([])
    expect(splitter.feed(framed('whole')).map(text)).toEqual(['whole'])
  })

  it('keeps a CR without FS, and an FS without CR, as part of the message', () => {
    const splitter = new FrameSplitter(100)
    expect(splitter.feed(framed('a\rb\u001cc')).map(text)).toEqual(['a\rb\u001cc'])
  })

  it('takes a message of exactly the size allowed, and stops at one that is larger', () => {
    const splitter = new FrameSplitter(5)
    expect(splitter.feed(framed('12345')).map(text)).toEqual(['12345'])
    expect(splitter.overflowed).toBe(false)
    expect(splitter.feed(framed('123456'))).toEqual([])
    expect(splitter.overflowed).toBe(true)
    expect(splitter.feed(framed('1'))).toEqual([])
  })

  it('stops while a message that never ends is still coming', () => {
    const splitter = new FrameSplitter(10)
    splitter.feed(bytes('\u000b'))
    for (let i = 0; i < 12; i += 1) splitter.feed(bytes('x'))
    expect(splitter.overflowed).toBe(true)
  })
})

function cutUp(stream: Uint8Array, cuts: readonly number[]): Uint8Array[] {
  const chunks: Uint8Array[] = []
  let at = 0
  for (const cut of cuts) {
    chunks.push(stream.subarray(at, at + cut))
    at += cut
  }
  return [...chunks, stream.subarray(at)]
}
