import type { PlacedSitting } from './placed-sitting.ts'

/**
 * A sitting as one short text that says where it ends, so that a person's sittings can simply stand one after the
 * other. All of it are whole numbers: lowest five bits first, one character of ASCII for each five, the sixth bit set
 * on all but the last. A sitting is
 *
 *     first reading, epoch ms · marks · sitting's own time less first reading, ms · count of readings · readings
 *
 * and a reading is
 *
 *     marks · ms after the first reading · systolic · diastolic · pulse
 *
 * with pressures in the source's own steps. A number that may be less than 0 is doubled, and one less when it is less
 * than 0; one that may be absent is 1 more than it is, and 0 when absent.
 */
export function packSitting({
  takenMs,
  firstMs,
  marks,
  unit,
  positionStated,
  readings,
}: PlacedSitting): string {
  const irregular = readings.some((reading) => reading.irregular)
  const own = takenMs - firstMs
  let text =
    packed(firstMs) +
    packed(
      marks |
        (unit === 'kPa' ? PACKED.kPa : 0) |
        (positionStated ? 0 : PACKED.positionNotStated) |
        (irregular ? PACKED.irregular : 0),
    ) +
    packed(own < 0 ? -2 * own - 1 : 2 * own) +
    packed(readings.length)
  for (const reading of readings) {
    const ownMarks =
      (reading.ownTime ? 0 : PACKED.sittingTime) | (reading.irregular ? PACKED.irregularReading : 0)
    text +=
      packed(ownMarks) +
      packed(reading.takenMs - firstMs) +
      packedOrAbsent(reading.systolic) +
      packedOrAbsent(reading.diastolic) +
      packedOrAbsent(reading.pulse)
  }
  return text
}

/**
 * Bits beside those of `MARK`, which leaves these to a packed sitting; of a reading from 1 on. A sitting that states its
 * arm, site and position has none of the bits for what is not stated, as have those that were packed before there were
 * such bits. One that lay and was packed before there was a bit for it does not say so.
 */
export const PACKED = {
  kPa: 256,
  irregular: 1024,
  positionNotStated: 8192,
  sittingTime: 1,
  irregularReading: 2,
} as const

/** The character of 0; the following 63 are those of 1 to 63, all of them printable ASCII. */
const ZERO = 48

function packed(value: number): string {
  let rest = value
  let text = ''
  for (; rest >= 32; rest = Math.floor(rest / 32)) text += String.fromCharCode(ZERO + 32 + (rest % 32))
  return text + String.fromCharCode(ZERO + rest)
}

function packedOrAbsent(value: number | null): string {
  return value === null ? '0' : packed(value + 1)
}

/** Reads the numbers of packed sittings, one after the other. */
export class PackedNumbers {
  #text = ''
  #at = 0

  /** Starts a text. */
  open(text: string): void {
    this.#text = text
    this.#at = 0
  }

  get atEnd(): boolean {
    return this.#at >= this.#text.length
  }

  next(): number {
    let digit = this.#text.charCodeAt(this.#at++) - ZERO
    if (digit < 32) return digit
    let value = digit - 32
    let scale = 32
    do {
      digit = this.#text.charCodeAt(this.#at++) - ZERO
      value += (digit & 31) * scale
      scale *= 32
    } while (digit >= 32)
    return value
  }

  nextSigned(): number {
    const doubled = this.next()
    return doubled % 2 === 0 ? doubled / 2 : -(doubled + 1) / 2
  }
}

/** What stands at the start of a packed sitting and is said of all of it. */
export function packedMarks(text: string): number {
  numbers.open(text)
  numbers.next()
  return numbers.next()
}

/** Epoch milliseconds of the sitting itself. */
export function packedSittingMs(text: string): number {
  numbers.open(text)
  const firstMs = numbers.next()
  numbers.next()
  return firstMs + numbers.nextSigned()
}

/** Whether a packed sitting has a reading in the time given, both ends included. */
export function hasReadingBetween(text: string, fromMs: number, toMs: number): boolean {
  numbers.open(text)
  const firstMs = numbers.next()
  numbers.next()
  numbers.next()
  for (let left = numbers.next(); left > 0; left -= 1) {
    numbers.next()
    const takenMs = firstMs + numbers.next()
    if (takenMs >= fromMs && takenMs <= toMs) return true
    numbers.next()
    numbers.next()
    numbers.next()
  }
  return false
}

const numbers = new PackedNumbers()
