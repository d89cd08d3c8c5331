import { inputError } from '../core/basics/issue.ts'
import { addDays, type LocalDay } from '../core/basics/local-day.ts'
import { ok, type Result, refused } from '../core/basics/result.ts'
import { averagePeriod } from '../core/clinical/averaging/average-period.ts'
import type { MeanPressure } from '../core/clinical/averaging/period-average.ts'
import type { Destination } from '../core/registry/destination.ts'
import type { Enrolment } from '../core/registry/enrolment.ts'
import { OwnFault } from './own-fault.ts'
import { heldInPeriod, readAll } from './period-sittings.ts'
import type { Ports, SweepRequest, SweptAverage, SweptMean } from './ports.ts'
import { periodPlan } from './render-period.ts'

export interface SweepQuestion {
  /** Id of a protocol document. */
  readonly protocol: string
  readonly firstDay: LocalDay
  /** Local days; the protocol's ideal when absent. */
  readonly days?: number
  readonly source?: string
}

/** One person of a sweep. A kept record that can no longer be read makes its own person's average impossible. */
export type SweptPerson =
  | SweptAverage
  | { readonly source: string; readonly subject: string; readonly problem: 'UNEXPECTED' }

/**
 * Averages everyone under one protocol, each by their own calendar, in the order of source and subject.
 *
 * The store sweeps over numbers alone and knows no findings. Where a destination's policy leaves readings out for one,
 * its people are averaged one by one as a period of theirs would be, so that no two averages of this gateway disagree.
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
  const request: SweepRequest = {
    protocol,
    firstDay,
    lastDay: addDays(firstDay, (days ?? protocol.days.ideal) - 1),
    ...(source === undefined ? {} : { source }),
  }
  const excluding = new Map(
    [...at.catalogue.destinations].filter(([, { findings }]) => Object.values(findings).includes('exclude')),
  )
  const swept = at.store.sweep(request)
  return ok(excluding.size === 0 ? swept : byPolicy(swept, request, excluding, at))
}

async function* byPolicy(
  swept: AsyncIterable<readonly SweptAverage[]>,
  request: SweepRequest,
  excluding: ReadonlyMap<string, Destination>,
  at: Ports,
): AsyncGenerator<readonly SweptPerson[]> {
  for await (const batch of swept) {
    const people: SweptPerson[] = []
    for (const one of batch) {
      const [enrolment] = await at.store.enrolments(one.source, [one.subject])
      const destination = enrolment && excluding.get(enrolment.destination)
      people.push(
        enrolment === undefined || destination === undefined
          ? one
          : await averaged(enrolment, destination, request, at),
      )
    }
    yield people
  }
}

async function averaged(
  enrolment: Enrolment,
  destination: Destination,
  { protocol, firstDay, lastDay }: SweepRequest,
  at: Ports,
): Promise<SweptPerson> {
  const { source, subject } = enrolment
  const days = { source, subject, firstDay, lastDay }
  try {
    const sittings = readAll(await heldInPeriod(days, enrolment, at), enrolment, at)
    const average = averagePeriod(periodPlan(days, { enrolment, destination }, protocol), sittings, [])
    return {
      source,
      subject,
      received: average.received,
      used: average.used.length,
      days: average.sufficiency.daysUsed,
      ...(average.mean === undefined ? {} : { mean: sweptMean(average.mean) }),
      byWindow: average.byWindow.map(({ window, mean }) => ({ window, ...sweptMean(mean) })),
    }
  } catch (error) {
    if (!(error instanceof OwnFault)) throw error
    at.log.error('average-not-swept', { code: error.code, error: error.message })
    return { source, subject, problem: error.code }
  }
}

function sweptMean({ systolic, diastolic, readings }: MeanPressure): SweptMean {
  return { systolic, diastolic, readings }
}
