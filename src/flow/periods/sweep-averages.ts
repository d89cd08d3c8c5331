import { inputError } from '../../core/basics/issue.ts'
import { addDays, type LocalDay } from '../../core/basics/local-day.ts'
import { ok, type Result, refused } from '../../core/basics/result.ts'
import { averagePeriod } from '../../core/clinical/averaging/average-period.ts'
import type { MeanPressure } from '../../core/clinical/averaging/period-average.ts'
import { implausibleDays } from '../../core/record/period-days.ts'
import type { Destination } from '../../core/registry/destination.ts'
import type { Enrolment, Subject } from '../../core/registry/enrolment.ts'
import { type LinkedSubjects, linkedSubjects } from '../person/linked-subjects.ts'
import { heldInPeriod, readAll } from '../person/period-sittings.ts'
import { type Person, personOf } from '../person/person.ts'
import { OwnFault } from '../ports/own-fault.ts'
import type { Ports, SweepRequest, SweptAverage, SweptMean } from '../ports/ports.ts'
import { periodPlan } from '../render/render-period.ts'

export interface SweepQuestion {
  /** Id of a protocol document. */
  readonly protocol: string
  readonly firstDay: LocalDay
  /** Local days; the protocol's ideal when absent. */
  readonly days?: number
  readonly source?: string
}

/**
 * One person of a sweep, under the first of their enrolments that has readings in the days. A kept record that can no
 * longer be read makes its own person's average impossible.
 */
export type SweptPerson = OfPerson &
  (Omit<SweptAverage, 'source' | 'subject' | 'linked'> | { readonly problem: 'UNEXPECTED' })

/** `linked`: what came through them is averaged too. */
type OfPerson = Subject & LinkedSubjects

/**
 * Averages everyone under one protocol, each by their own calendar, in the order of source and subject. Kept to one
 * source, it is of the people who measured through that, with what came through others.
 *
 * The store sweeps over numbers alone and knows no findings and no linked enrolments. Where a destination's policy leaves
 * readings out for one, and where a person has several enrolments, people are averaged one by one as a period of theirs
 * would be, so that no two averages of this gateway disagree.
 */
export function sweepAverages(
  { protocol: id, firstDay, days, source }: SweepQuestion,
  at: Ports,
): Result<AsyncIterable<readonly SweptPerson[]>> {
  const protocol = at.catalogue.protocols.get(id)
  if (protocol === undefined) {
    const ids = [...at.catalogue.protocols.keys()].join(', ')
    return refused([
      inputError(
        'not-found',
        'UNKNOWN_PROTOCOL',
        'query.protocol',
        `one of: ${ids}`,
        'Use a protocol that is loaded.',
      ),
    ])
  }
  const lastDay = addDays(firstDay, (days ?? protocol.days.ideal) - 1)
  const wrongDays = implausibleDays({ firstDay, lastDay }, at.clock.now())
  if (wrongDays !== undefined) return refused([{ ...wrongDays, at: `query.${wrongDays.at}` }])
  const request: SweepRequest = {
    protocol,
    firstDay,
    lastDay,
    ...(source === undefined ? {} : { source }),
  }
  const excluding = new Map(
    [...at.catalogue.destinations].filter(([, { findings }]) => Object.values(findings).includes('exclude')),
  )
  return ok(sweptPeople(request, excluding, at))
}

async function* sweptPeople(
  request: SweepRequest,
  excluding: ReadonlyMap<string, Destination>,
  at: Ports,
): AsyncGenerator<readonly SweptPerson[]> {
  const linkedPeople = new Set<string>()
  for await (const batch of at.store.sweep(request)) {
    const people: SweptPerson[] = []
    for (const { linked, ...one } of batch) {
      const [enrolment] =
        linked || excluding.size > 0 ? await at.store.enrolments(one.source, [one.subject]) : []
      if (enrolment === undefined || !(linked || excluding.has(enrolment.destination))) {
        people.push(one)
        continue
      }
      const person = await personOf(enrolment, at)
      const name = nameOf(enrolment)
      if (linkedPeople.has(name)) continue
      if (person.length > 1) linkedPeople.add(name)
      people.push(await averaged(person, request, at))
    }
    if (people.length > 0) yield people
  }
}

/** One text for each patient of a destination. */
function nameOf({ destination, patient: { system, value } }: Enrolment): string {
  return JSON.stringify([destination, system, value])
}

async function averaged(
  person: Person,
  { protocol, firstDay, lastDay }: SweepRequest,
  at: Ports,
): Promise<SweptPerson> {
  const [enrolment] = person
  const { source, subject } = enrolment
  const who = { source, subject, ...linkedSubjects(person) }
  const findings = at.catalogue.destinations.get(enrolment.destination)?.findings ?? {}
  const days = { firstDay, lastDay }
  try {
    const sittings = readAll(await heldInPeriod(days, person, at), person, at)
    const average = averagePeriod(
      periodPlan(days, { enrolment, destination: { findings } }, protocol),
      sittings,
      [],
    )
    return {
      ...who,
      received: average.received,
      used: average.used.length,
      days: average.sufficiency.daysUsed,
      ...(average.mean === undefined ? {} : { mean: sweptMean(average.mean) }),
      byWindow: average.byWindow.map(({ window, mean }) => ({ window, ...sweptMean(mean) })),
    }
  } catch (error) {
    if (!(error instanceof OwnFault)) throw error
    at.log.error('average-not-swept', { code: error.code, error: error.message })
    return { ...who, problem: error.code }
  }
}

function sweptMean({ systolic, diastolic, readings }: MeanPressure): SweptMean {
  return { systolic, diastolic, readings }
}
