import { uuidV5sIn } from '../../../core/basics/uuid-v5.ts'
import type { Enrolment } from '../../../core/registry/enrolment.ts'
import { averagesFor } from '../../../core/registry/period.ts'
import type { DeliveredRows } from '../outbox/delivered-rows.ts'
import type { NewEntry, OutboxRows } from '../outbox/outbox-rows.ts'
import type { Periods } from '../registry/periods.ts'
import type { RegistryRows } from '../registry/registry-rows.ts'
import type { Inbox } from '../sittings/inbox.ts'

/** What moving touches. */
export interface MovingParts {
  readonly inbox: Inbox
  readonly registry: RegistryRows
  readonly periods: Periods
  readonly outbox: OutboxRows
  readonly delivered: DeliveredRows
}

/**
 * Queues what a destination may hold of a subject, to be brought over from the patient it was delivered under: each
 * session once, each call for attention, and the newest average of each period. Readings that came with the average of
 * another subject of that patient are among them, and where nobody heard of that average they are looked for. Returns how
 * many. Runs inside a transaction, and after the new link was saved.
 *
 * @param enrolment as it is from now on.
 */
export function moveDelivered(
  enrolment: Enrolment,
  sourceNo: number,
  movedFrom: Enrolment['patient'],
  queuedMs: number,
  { inbox, registry, periods, outbox, delivered }: MovingParts,
): number {
  const { source, subject, destination } = enrolment
  let moving = 0
  const move = (what: Pick<NewEntry, 'kind' | 'about' | 'part' | 'urgent' | 'uncertain'>): void => {
    const entry = { ...what, destination, sourceNo, subject, movedFrom, queuedMs }
    if (!delivered.moves(entry) && outbox.enqueue(entry)) moving += 1
  }

  const own = periods.of(source, subject)
  const others = registry
    .ofPatient(movedFrom, destination)
    .flatMap((one) => periods.of(one.source, one.subject))
  // A session that travelled with an average is named in it by its UUID.
  const travelled = new Set<string>()
  const inDoubt = new Set<string>()
  for (const { id } of [...own, ...others]) {
    const isInDoubt = delivered.averageInDoubt(id, destination)
    for (const { bundle } of averagesFor(destination, periods.averages(id))) {
      for (const uuid of uuidV5sIn(bundle)) {
        travelled.add(uuid)
        if (isInDoubt) inDoubt.add(uuid)
      }
    }
  }
  for (const { uuid, seq, replaces } of inbox.ofSubject(sourceNo, subject)) {
    const seqs = replaces === null ? [seq] : inbox.versions(uuid).map((version) => version.seq)
    const isByItself = delivered.session(seqs, destination)
    if (travelled.has(uuid) || isByItself) {
      const uncertain = !isByItself && inDoubt.has(uuid)
      move({ kind: 'session', about: uuid, urgent: false, uncertain })
    }
    for (const part of delivered.calls(uuid, destination)) {
      move({ kind: 'attention', about: uuid, part, urgent: true })
    }
  }
  for (const { id } of own) {
    const newest = averagesFor(destination, periods.averages(id)).at(-1)
    if (newest === undefined || !delivered.average(id, destination)) continue
    move({ kind: 'average', about: id, part: String(newest.revision), urgent: false })
  }
  return moving
}
