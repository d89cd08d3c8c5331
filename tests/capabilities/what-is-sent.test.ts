/**
 * What each option of a destination changes in what it is sent, and that nothing is sent that its readings do not bear out.
 */
import type { Bundle, FhirResource, Observation, Reference } from 'fhir/r4.js'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { blocks } from '../../src/core/basics/issue.ts'
import type { OutboxEntry } from '../../src/core/outbox/entry.ts'
import type { Destination } from '../../src/core/registry/destination.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import type { Ports } from '../../src/flow/ports/ports.ts'
import { examineResource } from '../../src/flow/prove/examine-resource.ts'
import { renderEntry } from '../../src/flow/render/render-entry.ts'
import type { RenderedDelivery } from '../../src/flow/render/rendered-delivery.ts'
import { type OpenFlows, openFlows } from '../support/open-flows.ts'
import { type RawRecord, rawRecord } from '../support/raw-record.ts'
import { shippedRules } from '../support/recompute-rules.ts'

const PATIENT = { system: 'https://clinic.example/mrn', value: 'P-HW-1' }
const CLOSED = '2026-03-10T12:00:00Z'
const LATER = '2026-03-12T12:00:00Z'
/** On day 5 there is a call for attention, on day 6 the other arm. */
const SYSTOLIC = [150, 139, 142, 185, 140]

let flows: OpenFlows
afterEach(() => flows.close())

function morning(day: number, systolic: number, changes: RawRecord = {}): RawRecord {
  const takenAt = `2026-03-0${day}T07:00:00-07:00`
  const device = { manufacturer: 'Invented Instruments', model: 'Home 1', serial: 'A-1' }
  const readings = [
    { takenAt, systolic, diastolic: 80, pulse: 70, monitorSays: { irregularPulse: false } },
    {
      takenAt: takenAt.replace('07:00:00', '07:02:00'),
      systolic: systolic - 3,
      diastolic: 79,
      pulse: 71,
    },
  ]
  return rawRecord({ id: `s-${day}`, subject: 'HW-1', takenAt, readings, device, ...changes })
}

async function open(destination: Readonly<Record<string, unknown>> = {}): Promise<void> {
  flows = await openFlows({ now: CLOSED, destination })
  await flows.enrol('HW-1', { patient: PATIENT })
  await flows.receive(
    SYSTOLIC.map((systolic, index) => morning(index + 2, systolic, index === 4 ? { arm: 'right' } : {})),
  )
}

/** A week with its average issued; returns its period. */
async function openClosed(destination: Readonly<Record<string, unknown>> = {}): Promise<string> {
  await open(destination)
  const period = await flows.openPeriod('HW-1', '2026-03-02', 7)
  expect(await closeDuePeriods(flows.ports)).toBe(1)
  flows.setClock(LATER)
  return period
}

/** The same deployment after its operator changed options of the clinic. */
function reconfigured(changes: Partial<Destination>): Ports {
  const { catalogue } = flows.ports
  const [[name, before] = []] = catalogue.destinations
  if (name === undefined || before === undefined) throw new Error('there is no destination')
  const after = { ...before, ...changes } as Destination
  return { ...flows.ports, catalogue: { ...catalogue, destinations: new Map([[name, after]]) } }
}

async function rendered(
  kind: OutboxEntry['kind'],
  about: string,
  part?: string,
  at: Ports = flows.ports,
): Promise<RenderedDelivery> {
  const result = await attempted(kind, about, part, at)
  if ('state' in result) throw new Error(`${result.state} was not expected`)
  return result
}

function attempted(kind: OutboxEntry['kind'], about: string, part?: string, at: Ports = flows.ports) {
  const [[destination, settings] = []] = at.catalogue.destinations
  if (destination === undefined || settings === undefined) throw new Error('there is no destination')
  const entry: OutboxEntry = {
    ...{ id: 1, destination, source: 'harbour-app', subject: 'HW-1', kind, about },
    ...(part === undefined ? {} : { part }),
    ...{
      urgent: false,
      state: 'claimed',
      attempts: 0,
      queuedMs: 0,
      dueMs: 0,
      uncertain: false,
      claims: 1,
      begun: true,
    },
  }
  return renderEntry(entry, settings, at)
}

async function sessionUuid(id: string): Promise<string> {
  const session = await flows.ports.store.session('harbour-app', id)
  if (session === undefined) throw new Error(`there is no session ${id}`)
  return session.uuid
}

function resources(bundle: Bundle): readonly FhirResource[] {
  return (bundle as Bundle<FhirResource>).entry?.flatMap(({ resource }) => resource ?? []) ?? []
}

function observations(bundle: Bundle): readonly Observation[] {
  return resources(bundle).filter((one) => one.resourceType === 'Observation')
}

function averageIn(bundle: Bundle): Observation {
  const average = observations(bundle).find(({ code }) => code.coding?.[0]?.code === '96607-7')
  if (average === undefined) throw new Error('there is no average')
  return average
}

/** Every Reference in it, at whatever depth. */
function referencesIn(value: unknown): readonly string[] {
  if (typeof value !== 'object' || value === null) return []
  const inner = Object.values(value).flatMap(referencesIn)
  return 'reference' in value && typeof value.reference === 'string' ? [value.reference, ...inner] : inner
}

/** References that lead neither into the bundle nor to the patient. */
function dangling(bundle: Bundle): readonly string[] {
  const here = new Set(bundle.entry?.map(({ fullUrl }) => fullUrl))
  return referencesIn(bundle).filter((reference) => !here.has(reference) && !reference.startsWith('Patient?'))
}

const uuidsOf = (references: readonly Reference[] = []) =>
  references.map(({ reference, identifier }) => identifier?.value ?? reference?.replace('urn:uuid:', ''))

describe('a clinic that is sent no readings', () => {
  it('gets the average with its Provenance alone, each reading named and none leading nowhere', async () => {
    const period = await openClosed({ readings: 'with-average' })
    const { bundle: whole } = await rendered('average', period)
    await flows.close()
    const same = await openClosed({ readings: 'never' })
    const { bundle } = await rendered('average', same)

    expect(resources(bundle).map(({ resourceType }) => resourceType)).toEqual(['Observation', 'Provenance'])
    expect(dangling(bundle)).toEqual([])
    const [alone, carried] = [averageIn(bundle), averageIn(whole)]
    expect(uuidsOf(alone.derivedFrom)).toEqual(uuidsOf(carried.derivedFrom))
    expect(alone.derivedFrom?.map(({ type, reference }) => [type, reference])).toEqual(
      carried.derivedFrom?.map(() => ['Observation', undefined]),
    )
    expect(alone.component).toEqual(carried.component)
    expect(alone.note).toEqual(carried.note)
    expect(alone.note?.some(({ text }) => text.includes('other arm'))).toBe(true)
    const { issues } = examineResource(bundle, shippedRules())
    expect(issues.filter(blocks)).toEqual([])
  })

  it('has no session queued, and every call for attention', async () => {
    await openClosed({ readings: 'never' })
    const queued = await flows.ports.store.deliveryPage({ limit: 100 })
    expect(queued.map(({ kind, part }) => [kind, part])).toEqual([
      ['attention', 'very-high'],
      ['average', '1'],
    ])
  })

  it('gets a call with a Provenance of its own, and is told when it is taken back', async () => {
    await open({ readings: 'never' })
    const uuid = await sessionUuid('s-5')
    const { bundle: called } = await rendered('attention', uuid, 'very-high')
    expect(resources(called).map(({ resourceType }) => resourceType)).toEqual(['Observation', 'Provenance'])
    expect(dangling(called)).toEqual([])
    expect(observations(called)[0]?.derivedFrom).toHaveLength(2)

    await flows.correct(morning(5, 135))
    const { bundle: takenBack } = await rendered('session', uuid)
    expect(observations(takenBack).map(({ status, identifier }) => [status, identifier])).toEqual([
      ['entered-in-error', observations(called)[0]?.identifier],
    ])
    expect(examineResource(takenBack, shippedRules()).issues.filter(blocks)).toEqual([])
    const tags = [called, takenBack].map(
      (one) => resources(one).find(({ resourceType }) => resourceType === 'Provenance')?.meta?.tag?.[0]?.code,
    )
    expect(new Set(tags).size).toBe(2)
  })

  it('is told nothing of a correction that takes no call back', async () => {
    await open({ readings: 'never' })
    await flows.correct(morning(3, 137))
    expect(await attempted('session', await sessionUuid('s-3'))).toEqual({
      ...{ state: 'settled', created: 0, alreadyThere: 0, updated: 0 },
    })
  })
})

describe('an average that was issued', () => {
  it('is sent byte for byte as it is kept, and is not parsed for it', async () => {
    const period = await openClosed()
    const [kept] = await flows.ports.store.issuedAverages(period)
    const delivery = await rendered('average', period)
    expect(delivery.text).toBe(kept?.bundle)
    expect(delivery).toMatchObject({ patient: PATIENT, issued: CLOSED })
    expect(delivery.bundle).toEqual(JSON.parse(delivery.text))
  })

  const CHANGES: readonly (readonly [string, Partial<Destination>, (bundle: Bundle) => void])[] = [
    [
      'whole numbers',
      { decimals: 0 },
      (bundle) => {
        const values = averageIn(bundle).component?.map(
          ({ valueQuantity }) => valueQuantity?.value ?? Number.NaN,
        )
        expect(values?.every(Number.isInteger)).toBe(true)
      },
    ],
    [
      'position as an extension alone',
      { positionAs: 'extension' },
      (bundle) => expect(JSON.stringify(bundle)).not.toContain('8361-8'),
    ],
    [
      'codings of SNOMED CT',
      { snomed: true },
      (bundle) => expect(JSON.stringify(averageIn(bundle))).toContain('33586001'),
    ],
    ['no readings', { readings: 'never' }, (bundle) => expect(observations(bundle)).toHaveLength(1)],
  ]

  it.each(CHANGES)(
    'is written anew for a clinic that wants %s by now, as the same one',
    async (_name, changes, check) => {
      const period = await openClosed()
      const before = await rendered('average', period)
      const after = await rendered('average', period, undefined, reconfigured(changes))
      expect(after.text).not.toBe(before.text)
      check(after.bundle)
      const sameOf = ({ identifier, status, issued }: Observation) => ({ identifier, status, issued })
      expect(sameOf(averageIn(after.bundle))).toEqual(sameOf(averageIn(before.bundle)))
      expect(after).toMatchObject({ patient: before.patient, issued: before.issued })
      expect(resources(after.bundle).at(-1)).toEqual(resources(before.bundle).at(-1))
    },
  )

  it('is taken as it is where it was issued by an earlier release', async () => {
    const period = await openClosed()
    const at = reconfigured({ decimals: 0 })
    const store: Ports['store'] = {
      ...at.store,
      issuedAverages: async (id) =>
        (await at.store.issuedAverages(id)).map(({ form: _, ...earlier }) => earlier),
    }
    const { text } = await rendered('average', period, undefined, { ...at, store })
    expect(text).toBe((await at.store.issuedAverages(period))[0]?.bundle)
  })

  it('follows the patient’s identifier when the enrolment is mended', async () => {
    const period = await openClosed()
    const mended = { system: 'https://clinic.example/mrn', value: 'P/2 "a" & b' }
    await flows.enrol('HW-1', { patient: mended })
    const { bundle, patient, text } = await rendered('average', period)
    expect(patient).toEqual(mended)
    expect(text).not.toContain('P-HW-1')
    expect(averageIn(bundle).subject?.reference).toBe(
      `Patient?identifier=https%3A%2F%2Fclinic.example%2Fmrn|${encodeURIComponent(mended.value)}`,
    )
  })

  it('keeps the patient it was made for where that person moved to another clinic', async () => {
    const period = await openClosed()
    const next = { patient: { system: 'https://next.example/mrn', value: 'N-1' }, destination: 'next-clinic' }
    const at: Ports = {
      ...reconfigured({ decimals: 0 }),
      store: {
        ...flows.ports.store,
        enrolments: async (source, subjects) =>
          (await flows.ports.store.enrolments(source, subjects)).map((one) => one && { ...one, ...next }),
      },
    }
    const delivery = await rendered('average', period, undefined, at)
    expect(delivery.patient).toEqual(PATIENT)
    expect(delivery.text).toBe((await flows.ports.store.issuedAverages(period))[0]?.bundle)
  })

  it('is given up with its code where its protocol is gone and another form is wanted', async () => {
    const period = await openClosed()
    const at = reconfigured({ decimals: 0 })
    const gone: Ports = { ...at, catalogue: { ...at.catalogue, protocols: new Map() } }
    expect(await attempted('average', period, undefined, gone)).toEqual({
      ...{ state: 'given-up', problem: 'UNKNOWN_PROTOCOL', uncertain: false },
    })
  })

  it.each([
    ['sent at once', 'at-once'],
    ['sent with it', 'with-average'],
    ['not sent', 'never'],
  ] as const)(
    'is not amended because it is wanted in another form, where readings are %s',
    async (_name, readings) => {
      const period = await openClosed({ readings })
      const at = reconfigured({ decimals: 0, positionAs: 'extension' })
      await flows.ports.store.reopenPeriod(period, Date.parse(LATER), {
        ...{
          at: LATER,
          actor: 'operator',
          action: 'period-reopened',
          about: period,
          outcome: 'done',
          detail: {},
        },
      })
      expect(await closeDuePeriods(at)).toBe(1)
      expect(await flows.ports.store.issuedAverages(period)).toHaveLength(1)
    },
  )
})

describe('what a clinic wants to find on every resource', () => {
  const adornment = {
    claims: ['us-core', 'own'],
    tags: [{ system: 'https://records.example/tags', code: 'from-home' }],
    patientSupplied: true,
    identifiers: [{ system: 'https://records.example/feeds', value: 'home' }],
  } as const

  it('stands on sessions, calls and averages alike, and changes no condition under which they are sent', async () => {
    const period = await openClosed()
    const at = reconfigured({ adornment })
    const uuid = await sessionUuid('s-5')
    for (const [kind, about, part] of [
      ['session', uuid],
      ['attention', uuid, 'very-high'],
      ['average', period],
    ] as const) {
      const plain = await rendered(kind, about, part)
      const adorned = await rendered(kind, about, part, at)
      expect(adorned.bundle.entry?.map(({ request }) => request)).toEqual(
        plain.bundle.entry?.map(({ request }) => request),
      )
      expect(JSON.parse(adorned.text)).toEqual(JSON.parse(JSON.stringify(adorned.bundle)))
      for (const { meta } of resources(adorned.bundle)) expect(meta?.tag).toContainEqual(adornment.tags[0])
    }
  })

  it('is on none of them at a receiver of messages, which is given the same to say', async () => {
    const period = await openClosed()
    const server = await rendered('average', period)
    const receiver = {
      kind: 'hl7v2',
      host: 'interface.example',
      port: 2575,
    } as unknown as Partial<Destination>
    expect(await rendered('average', period, undefined, reconfigured(receiver))).toEqual(server)
  })
})

describe('all options together', () => {
  const COMBINATIONS = (['component-and-extension', 'extension'] as const).flatMap((positionAs) =>
    [false, true].flatMap((snomed) =>
      ([0, 1] as const).flatMap((decimals) =>
        (['with-average', 'never'] as const).map((readings) => ({ positionAs, snomed, decimals, readings })),
      ),
    ),
  )
  const claims = ['us-core', 'vital-signs', 'own'] as const

  let period: string
  beforeEach(async () => {
    period = await openClosed()
  })

  it.each(COMBINATIONS)('give an average that its readings bear out: %o', async (options) => {
    const adornment = { claims, tags: [], patientSupplied: true, identifiers: [] }
    const { bundle } = await rendered('average', period, undefined, reconfigured({ ...options, adornment }))
    const { issues, recomputed } = examineResource(bundle, shippedRules())
    expect(issues.filter(blocks)).toEqual([])
    expect(recomputed.map(({ verdict }) => verdict)).toEqual([
      options.readings === 'never' ? 'not-recomputable' : 'agrees',
    ])
  })
})
