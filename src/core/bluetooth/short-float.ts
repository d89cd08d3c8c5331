/** Why a monitor gave no number, by its FHIR word. Source: FHIR R4 4.0.1, code system data-absent-reason. */
export type AbsentReason = 'not-a-number' | 'positive-infinity' | 'negative-infinity' | 'error'

/** A number a monitor sent, or why there is none. */
export type ShortFloat = { readonly value: number } | { readonly absent: AbsentReason }

/**
 * The values of SFLOAT that are no numbers. They exist as whole 16-bit values only: 0x07FF is not a number, 0xF7FF is
 * 204.7. "Not at this resolution" (0x0800) and the value kept for later use (0x0801) say that something failed.
 * Sources: ISO/IEEE 11073-20601 SFLOAT-Type; HL7 Personal Health Device guide 2.0.0 for the FHIR words.
 */
const SPECIAL: ReadonlyMap<number, AbsentReason> = new Map([
  [0x07ff, 'not-a-number'],
  [0x07fe, 'positive-infinity'],
  [0x0802, 'negative-infinity'],
  [0x0800, 'error'],
  [0x0801, 'error'],
])

/**
 * Reads a 16-bit SFLOAT: the low twelve bits are the mantissa, the high four the power of ten, both two's complement.
 *
 * The number is the double nearest to the decimal that was sent, never a product of doubles. How many digits were sent
 * (2 or 2.0) is not kept: the bytes are.
 *
 * @param raw 0 to 65535.
 */
export function readShortFloat(raw: number): ShortFloat {
  const absent = SPECIAL.get(raw)
  if (absent !== undefined) return { absent }
  return { value: Number(`${signed(raw & 0x0fff, 12)}e${signed(raw >> 12, 4)}`) }
}

function signed(bits: number, width: number): number {
  return bits < 2 ** (width - 1) ? bits : bits - 2 ** width
}
