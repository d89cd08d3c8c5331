import type { Issue } from '../../core/basics/issue.ts'
import type { MonitorSays, Reading } from '../../core/clinical/session.ts'
import { convertChecked } from './convert-record.ts'
import type { CheckedRecord, RecordContext } from './read-record.ts'

/**
 * Whether a session becomes valid Observations, before it is kept: what would be wrong with them, or nothing.
 *
 * Observations of two sessions of the same shape differ only in ids, times and numbers, and what those may be was
 * settled when the record was read. So each shape is converted and validated in full once, and its later sessions stand
 * on that proof. Free text is no part of a shape: a session that brings any is proven by itself each time. Nothing rests
 * on this alone: whatever is sent is converted and validated again, in full, before it leaves.
 */
export function proveConvertible(record: CheckedRecord, context: RecordContext): readonly Issue[] {
  const shape = shapeOf(record, context)
  if (shape !== undefined && proven.has(shape)) return NOTHING_WRONG
  const { errors } = convertChecked(record, context)
  if (shape !== undefined && errors.length === 0) remember(shape)
  return errors
}

const NOTHING_WRONG: readonly Issue[] = []

/** Shapes that were proven. Real sources have a handful; beyond the limit all are forgotten and proven anew. */
const proven = new Set<string>()
const MOST_SHAPES = 10_000

function remember(shape: string): void {
  if (proven.size >= MOST_SHAPES) proven.clear()
  proven.add(shape)
}

/** Everything of a session that decides how its Observations are built; undefined when free text goes into them. */
export function shapeOf({ session, findings }: CheckedRecord, context: RecordContext): string | undefined {
  if (session.note !== undefined || !PLAIN.test(session.subject)) return undefined
  const { setting, position, arm, site, entry, readings } = session
  let shape = `${context.canonicalBase} ${context.source} ${setting} ${position ?? '-'} ${arm ?? '-'} ${site ?? '-'} ${entry}`
  for (const reading of readings) shape += shapeOfReading(reading)
  // Their texts are written by the checks, from numbers and words of the closed record.
  for (const { code, reading } of findings) shape += ` ${code}${reading ?? ''}`
  return shape
}

/** Printable ASCII: what every R4 text may hold, so that which of it is there makes no difference. */
const PLAIN = /^[ -~]+$/

function shapeOfReading({ takenAt, systolic, diastolic, pulse, monitorSays }: Reading): string {
  const time = takenAt === undefined ? '-' : 't'
  return `|${time}${systolic?.unit ?? '-'}${diastolic?.unit ?? '-'}${pulse === undefined ? '-' : 'p'}${shapeOfStatus(monitorSays)}`
}

function shapeOfStatus(says: MonitorSays | undefined): string {
  return says === undefined ? '' : Object.keys(says).join()
}
