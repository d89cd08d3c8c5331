/**
 * Walks over bytes, little-endian as Bluetooth sends them. Whoever walks has compared the length with the flags before:
 * a byte behind the end reads as 0.
 */
export class OctetCursor {
  readonly #octets: Uint8Array
  #at = 0

  constructor(octets: Uint8Array) {
    this.#octets = octets
  }

  /** 0-based place of the byte that is read next. */
  get at(): number {
    return this.#at
  }

  /** Unsigned 8 bits. */
  octet(): number {
    const octet = this.#octets[this.#at] ?? 0
    this.#at += 1
    return octet
  }

  /** Unsigned 16 bits. */
  word(): number {
    return this.octet() + this.octet() * 0x100
  }

  /** Unsigned 32 bits: seconds since 1900 pass the signed range. */
  doubleWord(): number {
    return this.word() + this.word() * 0x1_0000
  }
}
