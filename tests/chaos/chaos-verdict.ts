import { isDeepStrictEqual } from 'node:util'
import { averageUuid, provenanceUuid, readingUuid } from '../../src/core/fhir/identifiers.ts'
import {
  type ClinicResource,
  isObject,
  isResource,
  items,
} from '../support/hostile-clinic/clinic-resource.ts'
import { entriesIn, type HostileClinic } from '../support/hostile-clinic/hostile-clinic.ts'
import type { ActedPerson, ToldSession } from './act-as-person.ts'
import type { PlannedPerson } from './chaos-plan.ts'
import type { GatewayApi } from './gateway-api.ts'
import { writtenAsSent } from './written-as-sent.ts'

/** A delivery as the gateway tells it. */
export interface ToldDelivery {
  readonly id: number
  readonly subject: string
  readonly kind: string
  readonly about: string
  readonly part?: string
  readonly state: string
  readonly attempts: number
  readonly problem?: { readonly code: string }
}

/** What is wrong with the clinic's record of one person, a sentence each; none when all is as it must be. */
export async function personFaults(
  person: ActedPerson,
  deliveries: readonly ToldDelivery[],
  clinic: HostileClinic,
  api: Pick<GatewayApi, 'send'>,
): Promise<readonly string[]> {
  const name = person.planned.subject
  const issued = await issuedVersions(person.period, api)
  return [
    ...averageFaults(person, issued, clinic),
    ...[...person.sessions.values()].flatMap((told) => sessionFaults(told, person, clinic)),
    ...orderFaults(deliveries, clinic),
  ].map((text) => `${name}: ${text}`)
}

/** The Observation of each issued average, the first one first. */
async function issuedVersions(
  period: string,
  api: Pick<GatewayApi, 'send'>,
): Promise<readonly ClinicResource[]> {
  const { items: revisions } = (await api.send('GET', `/periods/${period}/averages`)) as {
    readonly items: readonly { readonly revision: number }[]
  }
  return Promise.all(
    revisions.map(async ({ revision }) => {
      const bundle = await api.send('GET', `/periods/${period}/averages/${revision}/bundle`)
      const average = entriesIn(bundle)
        .map(({ resource }) => resource)
        .find((one) => one !== undefined && carries(one, averageUuid(period)))
      if (average === undefined) throw new Error('an issued bundle holds no average')
      return average
    }),
  )
}

function carries({ identifier }: ClinicResource, value: string): boolean {
  return items(identifier).some((one) => isObject(one) && one.value === value)
}

function averageFaults(
  { period, planned }: ActedPerson,
  issued: readonly ClinicResource[],
  clinic: HostileClinic,
): readonly string[] {
  const held = clinic.holding(averageUuid(period))
  const [versions, ...more] = held
  if (versions === undefined) return [`the average is not there (${issued.length} issued)`]
  if (more.length > 0) return [`the average is there ${held.length} times`]
  const have = withoutRepeats(
    versions
      .flatMap(({ resource }) => resource ?? [])
      .filter((one) => !isMistakenBy(clinic, one, planned))
      .map((one) => writtenAsSent(one, clinic.kept)),
  )
  const want = withoutRepeats(issued.map((one) => writtenAsSent(one)))
  const traces = issued.map((_, at) => clinic.holding(provenanceUuid(period, at + 1)).length)
  return [
    ...(isDeepStrictEqual(have.at(-1), want.at(-1))
      ? []
      : [`the last version of the average is not the last issued: ${difference(have.at(-1), want.at(-1))}`]),
    ...(isInOrder(have, want)
      ? []
      : [`its ${have.length} versions are not among the ${want.length} issued, in order`]),
    ...(traces.at(-1) === 1 ? [] : [`the Provenance of the last revision is there ${traces.at(-1)} times`]),
    ...(traces.some((count) => count > 1) ? ['a Provenance of a revision is there more than once'] : []),
  ]
}

/**
 * Whether all of `have` stand in `want`, in the same order. What waited while it was amended is sent as it stands then, so
 * a clinic may never have seen a version in between.
 */
function isInOrder(have: readonly unknown[], want: readonly unknown[]): boolean {
  let reached = 0
  return have.every((one) => {
    const place = want.findIndex((other, at) => at >= reached && isDeepStrictEqual(one, other))
    reached = place + 1
    return place !== -1
  })
}

/** What a server that resolves a reference in name only made of it at first, before it was put right. */
function isMistakenBy(clinic: HostileClinic, resource: ClinicResource, planned: PlannedPerson): boolean {
  return clinic.behaviour.conditionalReference !== 'resolved' && !isOf(planned, resource, clinic)
}

/** Whether something stands in the person's record: a reference that still asks for them leads into none. */
function isOf({ patient }: PlannedPerson, resource: ClinicResource, clinic: HostileClinic): boolean {
  const { subject } = resource
  if (isObject(subject) && String(subject.reference).includes('?')) return false
  const said = writtenAsSent(resource, clinic.kept)
  return isObject(said) && isDeepStrictEqual(said.subject, { target: patient.value })
}

function sessionFaults(
  { uuid, session, version, withdrawn }: ToldSession,
  { planned }: ActedPerson,
  clinic: HostileClinic,
): readonly string[] {
  const faults = session.readings.flatMap(({ systolic, diastolic }, at) => {
    const held = clinic.holding(readingUuid(uuid, at + 1))
    const resource = held[0]?.at(-1)?.resource
    if (held.length !== 1 || resource === undefined) return [`a reading is there ${held.length} times`]
    const status = withdrawn ? 'entered-in-error' : version === 1 ? 'final' : 'amended'
    const values = pressuresOf(resource)
    return [
      ...(resource.status === status ? [] : [`a reading is ${String(resource.status)}, not ${status}`]),
      ...(isDeepStrictEqual(values, [systolic, diastolic]) ? [] : ['a reading has not the values last told']),
      ...(isOf(planned, resource, clinic) ? [] : ['a reading stands in a record that is not the person’s']),
    ]
  })
  const traces = clinic.holding(provenanceUuid(uuid, version)).length
  return traces === 1
    ? faults
    : [...faults, `the Provenance of version ${version} of a session is there ${traces} times`]
}

function pressuresOf({ component }: ClinicResource): readonly unknown[] {
  return items(component).flatMap((one) =>
    isObject(one) && isObject(one.valueQuantity) ? [one.valueQuantity.value] : [],
  )
}

/**
 * What came to the clinic first must have been queued first: of the same person, in the order of acceptance. An average is
 * sent as it stands when it leaves, so one that waited may bring the readings of a session that was queued behind it.
 */
function orderFaults(deliveries: readonly ToldDelivery[], clinic: HostileClinic): readonly string[] {
  const seen = new Set<string>()
  const arrivals = deliveries.flatMap(({ id, kind, about }): readonly Arrival[] => {
    if (seen.has(about)) return []
    seen.add(about)
    const key = kind === 'average' ? averageUuid(about) : readingUuid(about, 1)
    const write = clinic.ledger.firstOf(key)
    return write === undefined ? [] : [{ id, key, place: write.place }]
  })
  return arrivals.flatMap((one, at) => {
    const overtaken = arrivals
      .slice(0, at)
      .find(({ place, key }) => place > one.place && !brings(key, one.key, clinic))
    return overtaken === undefined ? [] : [`delivery ${one.id} came before ${overtaken.id}`]
  })
}

interface Arrival {
  readonly id: number
  readonly key: string
  /** In the order of all writes at the clinic. */
  readonly place: number
}

/** Whether the first version of an average rests on a reading. */
function brings(average: string, reading: string, clinic: HostileClinic): boolean {
  const first = clinic.holding(average)[0]?.[0]?.resource
  return first !== undefined && JSON.stringify(writtenAsSent(first, clinic.kept)).includes(reading)
}

function withoutRepeats(versions: readonly unknown[]): readonly unknown[] {
  return versions.filter((one, at) => at === 0 || !isDeepStrictEqual(one, versions[at - 1]))
}

/** Names of the elements that differ; nobody in it exists, but values stay out all the same. */
function difference(have: unknown, want: unknown): string {
  if (!isObject(have) || !isObject(want)) return 'no resource'
  const names = new Set([...Object.keys(have), ...Object.keys(want)])
  return [...names].filter((name) => !isDeepStrictEqual(have[name], want[name])).join(', ')
}

/** What is wrong with the clinic's record as a whole. */
export function recordFaults(clinic: HostileClinic): readonly string[] {
  const keys = clinic.ledger.createdTwice().map((key) => `created more than once: ${key}`)
  const strangers = ['Observation', 'Device', 'Provenance'].flatMap((type) =>
    clinic.kept.all(type).filter((one) => !isResource(one) || ownKeyless(one)),
  )
  return strangers.length === 0 ? keys : [...keys, `${strangers.length} resources carry no key`]
}

function ownKeyless({ identifier, meta }: ClinicResource): boolean {
  return items(identifier).length === 0 && items(isObject(meta) ? meta.tag : undefined).length === 0
}
