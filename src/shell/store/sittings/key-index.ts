const EMPTY = -1
const NONE: readonly number[] = []

/**
 * Finds places by a 48-bit key; several places may share one. Open addressing in typed arrays, because a map of
 * boxed numbers costs several times the memory. Keys are hashes, so their low bits choose the slot as they are.
 */
export class KeyIndex {
  #keys = new Float64Array(1024).fill(EMPTY)
  #places = new Uint32Array(1024)
  #used = 0

  add(key: number, place: number): void {
    if (this.#used * 2 >= this.#keys.length) this.#grow()
    this.#put(key, place)
    this.#used += 1
  }

  places(key: number): readonly number[] {
    const mask = this.#keys.length - 1
    let found: number[] | undefined
    for (let slot = key & mask; this.#keys[slot] !== EMPTY; slot = (slot + 1) & mask) {
      if (this.#keys[slot] !== key) continue
      found ??= []
      found.push(this.#places[slot] ?? 0)
    }
    return found ?? NONE
  }

  #put(key: number, place: number): void {
    const mask = this.#keys.length - 1
    let slot = key & mask
    while (this.#keys[slot] !== EMPTY) slot = (slot + 1) & mask
    this.#keys[slot] = key
    this.#places[slot] = place
  }

  #grow(): void {
    const keys = this.#keys
    const places = this.#places
    this.#keys = new Float64Array(keys.length * 2).fill(EMPTY)
    this.#places = new Uint32Array(keys.length * 2)
    for (const [slot, key] of keys.entries()) if (key !== EMPTY) this.#put(key, places[slot] ?? 0)
  }
}
