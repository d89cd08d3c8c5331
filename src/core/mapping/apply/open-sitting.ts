import type { NonEmpty } from '../../basics/result.ts'
import type { SourceRecord } from '../../basics/source-record.ts'
import { mostReadings } from '../../record/session-record.ts'
import { isSameMoment } from './moment.ts'
import type { FilledPlaces, Piece } from './piece.ts'

/** A piece that says again what an earlier one said. */
export interface Repetition {
  readonly of: Piece
  readonly by: SourceRecord
}

/** Places of which pieces of one sitting may say different things. */
const OF_EACH_PIECE: ReadonlySet<string> = new Set(['id', 'takenAt', 'note'])

/**
 * Places that say what the numbers are: a piece without one does not take it over from its neighbour, because nobody
 * said that it holds for it.
 */
const NEVER_TAKEN_OVER: ReadonlySet<string> = new Set(['setting', 'position', 'arm', 'site', 'unit', 'entry'])

/** A sitting to which records may still be added. */
export class OpenSitting {
  readonly #pieces: [Piece, ...Piece[]]
  readonly #sources: [SourceRecord, ...SourceRecord[]]
  readonly #repetitions: Repetition[] = []
  /** What was said of the whole sitting so far. */
  readonly #said = new Map<string, unknown>()
  readonly #contents = new Map<string, Piece>()
  #readings = 0
  /** Whether a piece that stands has said what holds of the sitting, or that nothing is known of it. */
  #isDescribed = false
  #corrects = false

  constructor(piece: Piece) {
    this.#pieces = [piece]
    this.#sources = [piece.source]
    this.#note(piece)
  }

  get subject(): string {
    return this.#pieces[0].subject
  }

  get pieces(): NonEmpty<Piece> {
    return this.#pieces
  }

  /** The records it is made of, in the order they came. */
  get sources(): NonEmpty<SourceRecord> {
    return this.#sources
  }

  get repetitions(): readonly Repetition[] {
    return this.#repetitions
  }

  /** Whether it takes the place of what was sent before. */
  get corrects(): boolean {
    return this.#corrects
  }

  /**
   * Whether a piece belongs to the sitting: same subject, at most so long after or before the latest piece, and nothing
   * said of the sitting that contradicts it.
   */
  joins(piece: Piece, gapMs: number): boolean {
    if (piece.subject !== this.subject) return false
    const latest = this.#pieces.at(-1)
    return latest !== undefined && distance(latest, piece) <= gapMs && this.#agrees(piece)
  }

  /** The piece that says the same, time and limb included; undefined when none does. */
  sameAs(piece: Piece): Piece | undefined {
    return this.#contents.get(contentOf(piece))
  }

  /** How many more readings the native record can hold. */
  get room(): number {
    return mostReadings(this.#said.get('setting')) - this.#readings
  }

  add(piece: Piece): void {
    this.#pieces.push(piece)
    this.#sources.push(piece.source)
    this.#note(piece)
  }

  addRepetition(of: Piece, by: SourceRecord): void {
    this.#sources.push(by)
    this.#repetitions.push({ of, by })
  }

  /**
   * Completes the one reading of the piece's moment with what it has, or with nothing where that is taken back: `several`
   * when more than one reading could be meant, `taken` when the reading has other values there, `none` when there is no
   * reading of that moment.
   */
  complete(piece: Piece): 'done' | 'none' | 'several' | 'taken' {
    const [moment] = piece.moments
    const [given] = piece.readings
    if (given === undefined) return 'none'
    const there: FilledPlaces[] = []
    for (const { readings, moments } of this.#pieces) {
      for (const [index, reading] of readings.entries()) {
        if (isSameMoment(moments[index], moment)) there.push(reading)
      }
    }
    const isWithdrawn = piece.standing === 'withdrawn'
    const lacking = there.filter((reading) => isWithdrawn || agrees(reading, given))
    const [only] = lacking
    if (only === undefined) return there.length === 0 ? 'none' : 'taken'
    if (lacking.length > 1) return 'several'
    for (const [place, filled] of isWithdrawn ? [] : given) {
      if (place !== 'takenAt' && only.get(place)?.value === undefined) only.set(place, filled)
    }
    this.#sources.push(piece.source)
    if (piece.standing !== 'new') this.#corrects = true
    return 'done'
  }

  #note(piece: Piece): void {
    this.#readings += piece.readings.length
    this.#contents.set(contentOf(piece), piece)
    if (piece.standing === 'withdrawn') this.#corrects = true
    else this.#isDescribed = true
    if (piece.standing === 'corrects') this.#corrects = true
    for (const [place, { value }] of piece.session) if (value !== undefined) this.#said.set(place, value)
  }

  #agrees({ session, standing }: Piece): boolean {
    // What is taken back may have been emptied: it contradicts by what it says only.
    if (standing !== 'withdrawn' && this.#isDescribed) {
      for (const place of NEVER_TAKEN_OVER) {
        if (this.#said.get(place) !== session.get(place)?.value) return false
      }
    }
    for (const [place, { value }] of session) {
      if (value === undefined || OF_EACH_PIECE.has(place) || !this.#said.has(place)) continue
      if (this.#said.get(place) !== value) return false
    }
    return true
  }
}

/** Whether a reading has nothing else where the other has a value. */
function agrees(reading: FilledPlaces, given: FilledPlaces): boolean {
  for (const [place, { value }] of given) {
    if (place === 'takenAt' || value === undefined) continue
    const there = reading.get(place)?.value
    if (there !== undefined && there !== value) return false
  }
  return true
}

/** Milliseconds between two pieces; infinite where it is not known. */
function distance(one: Piece, other: Piece): number {
  const [from, to] = [spanOf(one), spanOf(other)]
  if (from === undefined || to === undefined || from.clock !== to.clock) return Number.POSITIVE_INFINITY
  return Math.max(0, to.begin - from.end, from.begin - to.end)
}

function spanOf({ moments }: Piece) {
  let span: { readonly clock: string; begin: number; end: number } | undefined
  for (const moment of moments) {
    if (moment === undefined) return undefined
    const { clock, ms } = moment
    if (span !== undefined && span.clock !== clock) return undefined
    span ??= { clock, begin: ms, end: ms }
    span.begin = Math.min(span.begin, ms)
    span.end = Math.max(span.end, ms)
  }
  return span
}

/** What a piece says of its readings: two with the same content are one reading that came twice. */
function contentOf({ standing, session, readings, moments }: Piece): string {
  const limb = [session.get('arm')?.value, session.get('site')?.value]
  const values = readings.map((reading) => [...reading].map(([place, { value }]) => [place, value]))
  return JSON.stringify([standing === 'withdrawn', limb, moments, values])
}
