import { MICROPASCALS_PER_KPA, MICROPASCALS_PER_MMHG } from '../../../core/basics/pressure.ts'
import { MARK, type ReadingColumns } from '../../../core/clinical/averaging/reading-columns.ts'
import { PACKED, PackedNumbers, packedSittingMs } from '../sittings/packed-sitting.ts'
import { inOrderOf, roomForRows, withRoomFor } from './row-columns.ts'

const PER_STEP = { mmHg: MICROPASCALS_PER_MMHG / 10, kPa: MICROPASCALS_PER_KPA / 1000 } as const

/** Bits of `MARK` among the marks of a packed sitting. */
const SITTING_MARKS =
  MARK.clinic |
  MARK.publicKiosk |
  MARK.ambulatory |
  MARK.rightArm |
  MARK.wrist |
  MARK.withdrawn |
  MARK.armNotStated |
  MARK.siteNotStated |
  MARK.standing |
  MARK.lying

/** A packed sitting and the id of its session. */
export interface NamedSitting {
  readonly id: string
  readonly packed: string
}

/**
 * One person's readings as columns, unpacked from those sittings that have a reading in a span. The same columns are
 * filled for one person after another, and grow when somebody has more readings than anybody before.
 */
export class PersonColumns {
  #columns = roomForRows(1024)
  readonly #numbers = new PackedNumbers()
  #sittings = 0
  #lastSittingMs = Number.NEGATIVE_INFINITY
  #lastReadingMs = Number.NEGATIVE_INFINITY

  /**
   * From packed sittings one after the other, of which those with a reading in [fromMs, toMs) are taken. Undefined
   * when these do not follow each other in time, or two share a moment: then their ids have a say in the order.
   */
  ofFollowing(packed: string, fromMs: number, toMs: number): ReadingColumns | undefined {
    this.#clear()
    this.#numbers.open(packed)
    while (!this.#numbers.atEnd) if (!this.#addSitting(fromMs, toMs)) return undefined
    return this.#columns
  }

  /** The same, whatever their order: rows in order of time, then id, then place in the sitting. */
  ofNamed(sittings: readonly NamedSitting[], fromMs: number, toMs: number): ReadingColumns {
    this.#clear()
    const ids: string[] = []
    for (const { id, packed } of sittings.toSorted(byTimeThenId)) {
      this.#numbers.open(packed)
      this.#addSitting(fromMs, toMs)
      if (ids.length < this.#sittings) ids.push(id)
    }
    this.#columns = inOrderOf(this.#columns, ids)
    return this.#columns
  }

  #clear(): void {
    this.#columns.rows = 0
    this.#sittings = 0
    this.#lastSittingMs = Number.NEGATIVE_INFINITY
    this.#lastReadingMs = Number.NEGATIVE_INFINITY
  }

  /** Whether it came after the sitting before, if it is taken at all. */
  #addSitting(fromMs: number, toMs: number): boolean {
    const numbers = this.#numbers
    const firstMs = numbers.next()
    const flags = numbers.next()
    const sittingMs = firstMs + numbers.nextSigned()
    const readings = numbers.next()
    const start = this.#columns.rows
    this.#columns = withRoomFor(this.#columns, start + readings)
    const { takenMs, sitting, ordinal, systolic, diastolic, pulse, marks } = this.#columns
    const perStep = (flags & PACKED.kPa) === 0 ? PER_STEP.mmHg : PER_STEP.kPa
    let lastMs = this.#lastReadingMs
    let follows = sittingMs > this.#lastSittingMs
    let within = false
    for (let row = start; row < start + readings; row += 1) {
      const own = numbers.next()
      const ms = firstMs + numbers.next()
      takenMs[row] = ms
      sitting[row] = this.#sittings
      ordinal[row] = row - start + 1
      systolic[row] = presentOf(numbers.next()) * perStep
      diastolic[row] = presentOf(numbers.next()) * perStep
      pulse[row] = presentOf(numbers.next())
      marks[row] = (flags & SITTING_MARKS) | ((own & PACKED.sittingTime) === 0 ? 0 : MARK.sittingTime)
      if (ms < lastMs || (ms === lastMs && row === start)) follows = false
      if (ms >= fromMs && ms < toMs) within = true
      lastMs = ms
    }
    if (!within) return true
    this.#columns.rows = start + readings
    this.#sittings += 1
    this.#lastSittingMs = sittingMs
    this.#lastReadingMs = lastMs
    return follows
  }
}

function presentOf(packed: number): number {
  return packed === 0 ? Number.NaN : packed - 1
}

function byTimeThenId(one: NamedSitting, other: NamedSitting): number {
  return packedSittingMs(one.packed) - packedSittingMs(other.packed) || (one.id < other.id ? -1 : 1)
}
