import { type Finding, NO_FINDINGS } from './finding.ts'
import type { Reading, Session } from './session.ts'

/** Looks at the sitting as a whole. Undefined: nothing to say, or the answer it needs is absent. */
export type SittingCheck<Context> = (session: Session, context: Context) => Finding | undefined

/**
 * Looks at one reading. `earlier` is the nearest earlier reading of the sitting that carries its own time, so
 * that a reading without one neither hides nor invents a gap.
 */
export type ReadingCheck<Context> = (
  reading: Reading,
  earlier: Reading | undefined,
  session: Session,
  context: Context,
) => Finding | undefined

/**
 * Runs every check: the sitting's first, then each reading's in order. The order of the lists is the order of the
 * findings. Runs for every session received, so nothing is allocated when nothing is found.
 */
export function runChecks<Context>(
  session: Session,
  context: Context,
  sittingChecks: readonly SittingCheck<Context>[],
  readingChecks: readonly ReadingCheck<Context>[],
): readonly Finding[] {
  let found: Finding[] | undefined
  for (const check of sittingChecks) {
    const finding = check(session, context)
    if (finding !== undefined) found = added(found, finding)
  }
  let earlier: Reading | undefined
  for (const reading of session.readings) {
    for (const check of readingChecks) {
      const finding = check(reading, earlier, session, context)
      if (finding !== undefined) found = added(found, finding)
    }
    if (reading.takenAt !== undefined) earlier = reading
  }
  return found ?? NO_FINDINGS
}

function added(found: Finding[] | undefined, finding: Finding): Finding[] {
  if (found === undefined) return [finding]
  found.push(finding)
  return found
}
