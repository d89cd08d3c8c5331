import type { Issue } from '../../basics/issue.ts'
import { isNonEmpty } from '../../basics/result.ts'
import { uuidV5 } from '../../basics/uuid-v5.ts'
import { targets } from '../targets.ts'
import type { Filled } from './apply-rule.ts'
import type { MappedOutcome, MappedSitting, Origin } from './mapped-sitting.ts'
import { isSameMoment, type Moment } from './moment.ts'
import type { OpenSitting, Repetition } from './open-sitting.ts'
import type { FilledPlaces, Piece } from './piece.ts'
import { sourceIssue } from './source-issue.ts'

/** Under which ids are made for sittings whose source has none. Chosen once, at random, and never changed. */
const SITTING_IDS = 'b3f3f0a4-6a55-4d1e-9d0b-5b6c1f0b7a52'

/** A reading on its way into the record. */
interface PlacedReading {
  readonly piece: Piece
  readonly places: FilledPlaces
  readonly moment: Moment | undefined
}

/**
 * The native session record of a sitting, and where each value came from. Readings stand in the order of their times
 * where all are told, and otherwise as the source has them. Readings that are taken back have a part in its id, so that
 * it is the one they were sent under, and in nothing else; where none is left the sitting is withdrawn.
 *
 * @param mapping name of the mapping.
 */
export function composeSitting(sitting: OpenSitting, mapping: string): MappedOutcome {
  const all = inOrder(sitting.pieces)
  const id = idOf(all)
  const standing = all.filter((reading) => !isTakenBack(reading, all))
  if (standing.length > 0) {
    const made = composeRecord(sitting, standing, id, mapping)
    return { kind: 'sitting', sitting: { ...made, speaksOf: all.length } }
  }
  if (typeof id?.value !== 'string') throw new Error('readings were taken back that no id can be told of')
  const { sources } = sitting
  return { kind: 'withdrawal', mapping, id: id.value, readings: all.length, sources }
}

/** Whether a reading is taken back, by its own record or by one of the same moment and pressures. */
function isTakenBack(reading: PlacedReading, all: readonly PlacedReading[]): boolean {
  if (reading.piece.standing === 'withdrawn') return true
  return all.some(
    (other) =>
      other.piece.standing === 'withdrawn' &&
      isSameMoment(reading.moment, other.moment) &&
      PRESSURES.every((place) => other.places.get(place)?.value === reading.places.get(place)?.value),
  )
}

const PRESSURES = ['systolic', 'diastolic'] as const

function composeRecord(
  sitting: OpenSitting,
  readings: readonly PlacedReading[],
  id: Filled | undefined,
  mapping: string,
): Omit<MappedSitting, 'speaksOf'> {
  const draft = new Draft()
  const session = sessionPlaces(readings)
  if (id !== undefined) session.set('id', id)
  for (const place of targets().session.keys()) draft.put(draft.record, place, place, session.get(place))
  draft.record.readings = readings.map((reading, index) => {
    const members: Record<string, unknown> = {}
    const places = sitting.pieces.length > 1 ? withTime(reading) : reading.places
    for (const place of targets().reading.keys()) {
      draft.put(members, place, `readings[${index}].${place}`, places.get(place))
    }
    return members
  })
  const { record, origins, unfilled } = draft
  const remarks = sitting.repetitions.map((repetition) => repetitionRemark(repetition, readings, mapping))
  return {
    mapping,
    record,
    text: JSON.stringify(record),
    corrects: sitting.corrects,
    sources: sitting.sources,
    origins,
    unfilled,
    remarks,
  }
}

class Draft {
  readonly record: Record<string, unknown> = {}
  readonly origins = new Map<string, Origin>()
  readonly unfilled = new Map<string, Origin>()

  /** @param place dotted, within the object; `at` the native place it is known by. */
  put(object: Record<string, unknown>, place: string, at: string, filled: Filled | undefined): void {
    if (filled === undefined) return
    if (filled.value === undefined) {
      this.unfilled.set(at, filled.origin)
      return
    }
    this.origins.set(at, filled.origin)
    const steps = place.split('.')
    const last = steps.pop() ?? place
    let here = object
    for (const step of steps) {
      here[step] ??= {}
      here = here[step] as Record<string, unknown>
    }
    here[last] = filled.value
  }
}

function inOrder(pieces: readonly Piece[]): readonly PlacedReading[] {
  const readings = pieces.flatMap((piece) =>
    piece.readings.map((places, index) => ({ piece, places, moment: piece.moments[index] })),
  )
  const clock = readings[0]?.moment?.clock
  if (clock === undefined || readings.some(({ moment }) => moment?.clock !== clock)) return readings
  const ms = ({ moment }: PlacedReading) => moment?.ms ?? 0
  const [first, last] = [readings.at(0), readings.at(-1)]
  // A source that has the newest first has those of one minute so too.
  if (first !== undefined && last !== undefined && ms(last) < ms(first)) readings.reverse()
  return readings.sort((one, other) => ms(one) - ms(other))
}

/** The reading with its record's time, which is its own when the record has no other reading. */
function withTime({ piece, places }: PlacedReading): FilledPlaces {
  const time = piece.session.get('takenAt')
  if (time === undefined || places.has('takenAt') || piece.readings.length > 1) return places
  return new Map([...places, ['takenAt', time]])
}

function sessionPlaces(readings: readonly PlacedReading[]): FilledPlaces {
  const session: FilledPlaces = new Map()
  const [earliest] = readings
  const inTheirOrder = [...new Set(readings.map(({ piece }) => piece))]
  for (const piece of inTheirOrder) {
    for (const [place, filled] of piece.session) {
      if (session.get(place)?.value === undefined) session.set(place, filled)
    }
  }
  const takenAt = earliest?.piece.session.get('takenAt') ?? earliest?.places.get('takenAt')
  if (takenAt !== undefined) session.set('takenAt', takenAt)
  const note = joinedNote(inTheirOrder)
  if (note !== undefined && inTheirOrder.length > 1) session.set('note', note)
  return session
}

/** The id the earliest reading's record has, or one that is made where it has none. */
function idOf([earliest]: readonly PlacedReading[]): Filled | undefined {
  if (earliest === undefined) return undefined
  const { session } = earliest.piece
  const [id, subject] = [session.get('id'), session.get('subject')]
  if (id?.value !== undefined) return id
  return subject === undefined ? id : madeId(subject, earliest)
}

/** The same sitting gets the same id, however often it comes: made of the subject and the first reading's time. */
function madeId(subject: Filled, { piece, places }: PlacedReading): Filled {
  const time = places.get('takenAt') ?? piece.session.get('takenAt')
  const from = [...subject.origin.from, ...(time?.origin.from ?? [])]
  const { pointer: rule, line } = piece.kind
  const origin: Origin = { rule, line, how: 'made', from }
  // Without a time there is nothing to tell one sitting from the next; the record is refused for that.
  if (time?.value === undefined) return { origin }
  return { value: uuidV5(SITTING_IDS, JSON.stringify([subject.value, time.value])), origin }
}

/** Every note of the sitting, each once, one to a line. */
function joinedNote(pieces: readonly Piece[]): Filled | undefined {
  const notes = pieces.flatMap(({ session }) => {
    const note = session.get('note')
    return typeof note?.value === 'string' ? [note] : []
  })
  if (!isNonEmpty(notes)) return undefined
  const texts = new Set(notes.map(({ value }) => value))
  const origin = { ...notes[0].origin, from: notes.flatMap((note) => note.origin.from) }
  return { value: [...texts].join('\n'), origin }
}

function repetitionRemark(
  { of, by }: Repetition,
  readings: readonly PlacedReading[],
  mapping: string,
): Issue {
  const index = readings.findIndex(({ piece }) => piece === of)
  const both = [of.source, by].map(({ line, path }) =>
    line === undefined ? (path ?? 'the record') : `line ${line}`,
  )
  const expected = `each reading once: ${both.join(' and ')} say the same`
  const told = { code: 'DUPLICATE_ROW', expected, remedy: 'None needed: it was taken once.' } as const
  const place = { path: by.path ?? '', ...(by.line === undefined ? {} : { line: by.line }) }
  // One that was taken back stands nowhere in the record.
  const at = index === -1 ? 'readings' : `readings[${index}]`
  const issue = sourceIssue(told, at, `${mapping}.json:${of.kind.line}`, place)
  return { ...issue, severity: 'information' }
}
