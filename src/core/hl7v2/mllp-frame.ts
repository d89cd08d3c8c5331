/** Bytes around a message. Source: HL7 v2 Implementation Guide, Minimal Lower Layer Protocol: VT, message, FS, CR. */
const START = 0x0b
const END = 0x1c
const RETURN = 0x0d

/** A message as it is sent: UTF-8 between VT and FS CR. */
export function framed(message: string): Uint8Array {
  const bytes = new TextEncoder().encode(message)
  const frame = new Uint8Array(bytes.length + 3)
  frame[0] = START
  frame.set(bytes, 1)
  frame[bytes.length + 1] = END
  frame[bytes.length + 2] = RETURN
  return frame
}

/**
 * Takes the messages out of a stream, however it is cut: one frame may come in many chunks, and many frames in one.
 * What stands before a VT is thrown away. A VT inside a frame begins a new one: it stands in no message, so the earlier
 * one was never ended.
 */
export class FrameSplitter {
  readonly #maxBytes: number
  /** Chunks of the frame that is open; undefined between frames. */
  #open: Uint8Array[] | undefined
  #bytes = 0
  #overflowed = false

  /** @param maxBytes of one message. */
  constructor(maxBytes: number) {
    this.#maxBytes = maxBytes
  }

  /** Whether a message was larger than allowed. Nothing is read any more then. */
  get overflowed(): boolean {
    return this.#overflowed
  }

  /** The messages that a chunk completes. */
  feed(chunk: Uint8Array): readonly Uint8Array[] {
    const messages: Uint8Array[] = []
    let from = 0
    for (let at = 0; at < chunk.length && !this.#overflowed; at += 1) {
      if (chunk[at] === START) {
        this.#open = []
        this.#bytes = 0
        from = at + 1
      } else if (chunk[at] === RETURN && this.#open !== undefined && this.#endsBefore(chunk, from, at)) {
        this.#keep(chunk.subarray(from, at))
        if (!this.#overflowed) messages.push(this.#taken())
        this.#open = undefined
      }
    }
    if (this.#open !== undefined) this.#keep(chunk.subarray(from))
    return messages
  }

  /** Whether the byte before a CR is FS: in this chunk, or the last of the one before. */
  #endsBefore(chunk: Uint8Array, from: number, at: number): boolean {
    return at > from ? chunk[at - 1] === END : this.#open?.at(-1)?.at(-1) === END
  }

  #keep(part: Uint8Array): void {
    if (part.length === 0) return
    this.#bytes += part.length
    // One more for the FS, which is no part of the message.
    if (this.#bytes > this.#maxBytes + 1) {
      this.#overflowed = true
      this.#open = undefined
      return
    }
    this.#open?.push(part)
  }

  /** The open frame without its FS. */
  #taken(): Uint8Array {
    const message = new Uint8Array(this.#bytes - 1)
    let at = 0
    for (const part of this.#open ?? []) {
      message.set(part.subarray(0, message.length - at), at)
      at += part.length
    }
    return message
  }
}
