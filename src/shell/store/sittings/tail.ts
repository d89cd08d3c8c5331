import { KeyIndex } from './key-index.ts'

/** What is remembered of an inbox row that is not merged yet. */
export interface TailRow {
  readonly seq: number
  readonly idKey: number
  readonly uuidKey: number
  readonly subjectKey: number
}

/**
 * The end of the inbox that the sorted tables do not cover yet, findable by id, UUID and subject. About 60 bytes a
 * row. All answers are candidates by hash: the caller confirms each against the row itself.
 */
export class Tail {
  #ids = new KeyIndex()
  #seqs = new Float64Array(1024)
  #idKeys = new Float64Array(1024)
  #uuidKeys = new Float64Array(1024)
  #subjectKeys = new Uint32Array(1024)
  #size = 0

  get size(): number {
    return this.#size
  }

  add(row: TailRow): void {
    const place = this.#size
    if (place === this.#seqs.length) this.#grow()
    this.#seqs[place] = row.seq
    this.#idKeys[place] = row.idKey
    this.#uuidKeys[place] = row.uuidKey
    this.#subjectKeys[place] = row.subjectKey
    this.#ids.add(row.idKey, place)
    this.#size += 1
  }

  /** The part that comes after an inbox row. */
  after(seq: number): Tail {
    const rest = new Tail()
    for (let place = 0; place < this.#size; place += 1) {
      const row = {
        seq: this.#seqs[place] ?? 0,
        idKey: this.#idKeys[place] ?? 0,
        uuidKey: this.#uuidKeys[place] ?? 0,
        subjectKey: this.#subjectKeys[place] ?? 0,
      }
      if (row.seq > seq) rest.add(row)
    }
    return rest
  }

  byId(idKey: number): readonly number[] {
    const places = this.#ids.places(idKey)
    return places.length === 0 ? places : places.map((place) => this.#seqs[place] ?? 0)
  }

  byUuid(uuidKey: number): readonly number[] {
    return this.#scan(this.#uuidKeys, uuidKey)
  }

  bySubject(subjectKey: number): readonly number[] {
    return this.#scan(this.#subjectKeys, subjectKey)
  }

  /** A hundred thousand rows are compared in some fifty microseconds: cheaper than keeping two more indexes. */
  #scan(keys: Float64Array | Uint32Array, key: number): readonly number[] {
    const found: number[] = []
    for (
      let place = keys.indexOf(key);
      place !== -1 && place < this.#size;
      place = keys.indexOf(key, place + 1)
    ) {
      found.push(this.#seqs[place] ?? 0)
    }
    return found
  }

  #grow(): void {
    this.#seqs = enlarged(this.#seqs, new Float64Array(this.#size * 2))
    this.#idKeys = enlarged(this.#idKeys, new Float64Array(this.#size * 2))
    this.#uuidKeys = enlarged(this.#uuidKeys, new Float64Array(this.#size * 2))
    this.#subjectKeys = enlarged(this.#subjectKeys, new Uint32Array(this.#size * 2))
  }
}

function enlarged<A extends Float64Array | Uint32Array>(from: A, into: A): A {
  into.set(from)
  return into
}
