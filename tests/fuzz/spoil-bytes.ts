import type { Chooser } from './chooser.ts'

type Spoil = (bytes: Buffer, random: Chooser, foreign: () => Buffer) => Buffer

const SPOILS: readonly [Spoil, ...Spoil[]] = [
  function cutOff(bytes, random) {
    return bytes.subarray(0, random.place(bytes.length))
  },
  function beginLater(bytes, random) {
    return bytes.subarray(random.place(bytes.length))
  },
  function otherByte(bytes, random) {
    const spoilt = Buffer.from(bytes)
    if (spoilt.length > 0) spoilt[random.place(spoilt.length)] = random.whole(0, 255)
    return spoilt
  },
  function partTwice(bytes, random) {
    const [from, to] = span(bytes, random)
    return Buffer.concat([bytes.subarray(0, to), bytes.subarray(from)])
  },
  function partLeftOut(bytes, random) {
    const [from, to] = span(bytes, random)
    return Buffer.concat([bytes.subarray(0, from), bytes.subarray(to)])
  },
  function foreignPart(bytes, random, foreign) {
    const at = random.place(bytes.length + 1)
    const other = foreign()
    const [from, to] = span(other, random)
    return Buffer.concat([bytes.subarray(0, at), other.subarray(from, to), bytes.subarray(at)])
  },
  function foreignAfter(bytes, random, foreign) {
    return Buffer.concat(
      random.of([
        [bytes, Buffer.from('\n'), foreign()],
        [foreign(), bytes],
      ]),
    )
  },
  function marked(bytes, random) {
    const mark = random.of([[0xef, 0xbb, 0xbf], [0xff, 0xfe], [0xfe, 0xff], [0x00], [0x1a]])
    return random.happens(0.5)
      ? Buffer.concat([Buffer.from(mark), bytes])
      : Buffer.concat([bytes, Buffer.from(mark)])
  },
  function otherLineEnds(bytes, random) {
    const text = bytes.toString('latin1')
    const to = random.of(['\r\n', '\r', '\n', '\n\n', '\u0085'])
    return Buffer.from(text.replaceAll(/\r\n|\r|\n/g, to), 'latin1')
  },
  function inUtf16(bytes) {
    return Buffer.from(bytes.toString('utf8'), 'utf16le')
  },
  function openBrackets(bytes, random) {
    return Buffer.concat([Buffer.from('['.repeat(random.of([33, 5_000, 50_000]))), bytes])
  },
]

/**
 * Bytes with one fault.
 *
 * @param foreign gives bytes of whichever format.
 */
export function spoilBytes(bytes: Buffer, random: Chooser, foreign: () => Buffer): Buffer {
  return random.of(SPOILS)(bytes, random, foreign)
}

/** Bytes that mean nothing. */
export function randomBytes(random: Chooser): Buffer {
  return Buffer.from(Array.from({ length: random.whole(0, 300) }, () => random.whole(0, 255)))
}

function span(bytes: Buffer, random: Chooser): readonly [from: number, to: number] {
  const one = random.place(bytes.length + 1)
  const two = random.place(bytes.length + 1)
  return one < two ? [one, two] : [two, one]
}
