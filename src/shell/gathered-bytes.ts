/**
 * Bytes that come in pieces, kept as one: however small the pieces are, they take about twice the room of what they hold
 * at most. A piece kept by itself takes hundreds of bytes, be it of one byte only. The first piece is kept as it came, so
 * that what comes in one is never copied.
 */
export class GatheredBytes {
  #room: Buffer = Buffer.alloc(0)
  #length = 0

  get length(): number {
    return this.#length
  }

  add(piece: Buffer): void {
    const length = this.#length + piece.length
    if (this.#length === 0) this.#room = piece
    else if (piece.length > 0) {
      if (length > this.#room.length) this.#widen(length)
      piece.copy(this.#room, this.#length)
    }
    this.#length = length
  }

  /** All of it, and nothing is held any more. */
  take(): Buffer {
    const all = this.#room.subarray(0, this.#length)
    this.#room = Buffer.alloc(0)
    this.#length = 0
    return all
  }

  #widen(least: number): void {
    const wider = Buffer.allocUnsafe(Math.max(least, 2 * this.#room.length))
    this.#room.copy(wider, 0, 0, this.#length)
    this.#room = wider
  }
}
