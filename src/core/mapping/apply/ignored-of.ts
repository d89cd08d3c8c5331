import type { SourceRecord } from '../../basics/source-record.ts'
import { type Kind, pathsOfRecord, pathsOfRules } from '../compiled-kind.ts'
import type { Mapping } from '../mapping.ts'
import type { SourcePath } from '../source-path.ts'
import { chooseKind } from './choose-kind.ts'
import { RecordView } from './record-view.ts'

/** Places told of one record. */
const MOST_PLACES = 100

/**
 * Places of a record that hold a value no rule of its kind reads: columns, or RFC 9535 normalized paths within its
 * document. None of a record that is skipped, or that no kind fits.
 */
export function ignoredOf(mapping: Mapping, record: SourceRecord): readonly string[] {
  const view = new RecordView(record, mapping)
  const kind = chooseKind(mapping, view)
  if (kind === undefined || kind.skip) return []
  return unreadSteps(kind, view).map((steps) => view.below(steps).path)
}

type Steps = readonly (string | number)[]

/** The same for a record whose kind is known, as names and positions. */
export function unreadSteps(kind: Kind, view: RecordView): readonly Steps[] {
  const read = readPlaces(kind, view)
  const unread: Steps[] = []
  for (const steps of leavesOf(view.record.value, [], (place) => read.has(view.below(place).path))) {
    unread.push(steps)
    if (unread.length === MOST_PLACES) break
  }
  return unread
}

/** Every place that a condition or rule of the kind finds. */
function readPlaces(kind: Kind, view: RecordView): ReadonlySet<string> {
  const read = new Set<string>()
  const note = (paths: Iterable<SourcePath>) => {
    for (const path of paths) for (const found of view.find(path)) read.add(view.placeOf(path, found).path)
  }
  note(pathsOfRecord(kind))
  if ('sets' in kind.readings) return read
  for (const item of view.find(kind.readings.each)) {
    view.turnTo(item)
    note(pathsOfRules(kind.readings.rules))
  }
  view.turnTo(undefined)
  return read
}

/** Values that hold no others and are something, outside of what was read. */
function* leavesOf(value: unknown, steps: Steps, isRead: (steps: Steps) => boolean): Generator<Steps> {
  if (value === null || value === '' || isRead(steps)) return
  if (typeof value !== 'object') {
    yield steps
    return
  }
  for (const [key, inner] of Object.entries(value)) {
    yield* leavesOf(inner, [...steps, Array.isArray(value) ? Number(key) : key], isRead)
  }
}
