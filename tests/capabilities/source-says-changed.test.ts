/** A source's own records say that they correct or take back what was sent: to the clinic, without another word. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Outcome } from '../../src/flow/receive/receive-sessions.ts'
import { SOURCE } from '../support/open-flows.ts'
import { openDelivery, type QueuedDelivery, readingOf } from '../support/queued-delivery.ts'
import { receiveDocument } from '../support/through-mapping.ts'

let at: QueuedDelivery
beforeEach(async () => {
  at = await openDelivery()
  await at.flows.enrol('HW-1', { zone: 'Europe/London' })
})
afterEach(() => at.flows.close())

interface Reading {
  readonly status: string
  readonly minute: string
  /** None where the source emptied what it took back. */
  readonly systolic?: number
}

const taken = (minute: string) => `2026-03-02T06:${minute}:00Z`

function observation({ status, minute, systolic }: Reading) {
  const part = (code: string, value: number) => ({
    code: { coding: [{ system: 'http://loinc.org', code }] },
    valueQuantity: { value, system: 'http://unitsofmeasure.org', code: 'mm[Hg]' },
  })
  const gone = (code: string) => ({
    code: { coding: [{ system: 'http://loinc.org', code }] },
    dataAbsentReason: { text: 'taken back' },
  })
  return {
    resourceType: 'Observation',
    status,
    code: { coding: [{ system: 'http://loinc.org', code: '85354-9' }] },
    subject: { reference: 'Patient/HW-1' },
    effectiveDateTime: taken(minute),
    device: { reference: 'Device/cuff' },
    component:
      systolic === undefined
        ? [gone('8480-6'), gone('8462-4')]
        : [part('8480-6', systolic), part('8462-4', 84)],
  }
}

function oru(readings: readonly Reading[]): string {
  const lines = readings.flatMap(({ status, minute, systolic }, index) => {
    const time = `2026030206${minute}00+0000`
    const result = (setId: number, code: string, value: number) =>
      `OBX|${setId}|NM|${code}^^LN|${index + 1}|${value}|mm[Hg]^mm[Hg]^UCUM|||||${status}|||${time}`
    return [result(1, '8480-6', systolic ?? 0), result(2, '8462-4', 84)]
  })
  const head = [
    'MSH|^~\\&|HARBOUR|APP|||20260302070000+0000||ORU^R01|m-1|P|2.5.1',
    'PID|1||HW-1^^^HARBOUR^PI',
    'OBR|1||s-1^HARBOUR|85354-9^^LN|||20260302062900+0000',
  ]
  return [...head, ...lines].map((line) => `${line}\r`).join('')
}

const FORMATS: readonly (readonly [
  string,
  (readings: readonly Reading[]) => Promise<readonly Outcome[]>,
  Words,
])[] = [
  [
    'fhir-r4',
    (readings) => receiveDocument(at.flows, 'fhir-r4', JSON.stringify(readings.map(observation))),
    { final: 'final', corrected: ['amended', 'corrected'], withdrawn: ['entered-in-error', 'cancelled'] },
  ],
  [
    'hl7v2-oru',
    (readings) => receiveDocument(at.flows, 'hl7v2-oru', oru(readings)),
    { final: 'F', corrected: ['C'], withdrawn: ['D', 'W'] },
  ],
]

interface Words {
  readonly final: string
  readonly corrected: readonly string[]
  readonly withdrawn: readonly string[]
}

const idOf = ([outcome]: readonly Outcome[]): string => {
  if (outcome === undefined || !('receipt' in outcome)) throw new Error(JSON.stringify(outcome))
  return outcome.receipt.id
}

/** What the clinic's server holds of a reading: its status and its systolic pressure. */
function atClinic(id: string, ordinal: number): readonly unknown[] {
  const held = at.clinic.server.holding(readingOf(id, ordinal))[0]?.at(-1)?.resource as
    | { status: string; component: { valueQuantity?: { value: number } }[] }
    | undefined
  return [held?.status, held?.component[0]?.valueQuantity?.value]
}

describe.each(FORMATS)('%s', (_name, receive, words) => {
  const first = (status: string, systolic?: number): Reading =>
    systolic === undefined ? { status, minute: '29' } : { status, minute: '29', systolic }
  const second = (status: string): Reading => ({ status, minute: '31', systolic: 128 })

  it.each(words.corrected)('%s: the Observation at the clinic is amended', async (status) => {
    const id = idOf(await receive([first(words.final, 138), second(words.final)]))
    await at.deliver()
    expect([atClinic(id, 1), atClinic(id, 2)]).toEqual([
      ['final', 138],
      ['final', 128],
    ])
    const outcomes = await receive([first(status, 133), second(words.final)])
    expect(outcomes).toMatchObject([{ kind: 'corrected', receipt: { id, version: 2 } }])
    await at.deliver()
    expect(atClinic(id, 1)).toEqual(['amended', 133])
  })

  it.each(words.withdrawn)('%s: the Observations at the clinic are entered in error', async (status) => {
    const id = idOf(await receive([first(words.final, 138), second(words.final)]))
    await at.deliver()
    const gone = () => receive([first(status, 138), second(status)])
    expect(await gone()).toMatchObject([{ kind: 'withdrawn', receipt: { id, version: 2, withdrawn: true } }])
    await at.deliver()
    expect([atClinic(id, 1), atClinic(id, 2)]).toEqual([
      ['entered-in-error', 138],
      ['entered-in-error', 128],
    ])
    // Again changes nothing.
    expect(await gone()).toMatchObject([{ kind: 'withdrawn', receipt: { id, version: 2 } }])
  })

  it('one reading of two taken back, the first of them, leaves the other in the same session', async () => {
    const id = idOf(await receive([first(words.final, 138), second(words.final)]))
    const outcomes = await receive([first(words.withdrawn[0] ?? '', 138), second(words.final)])
    expect(outcomes).toMatchObject([{ kind: 'corrected', receipt: { id, version: 2 } }])
    const stored = await at.flows.ports.store.session(SOURCE, id)
    expect(JSON.parse(stored?.raw ?? '')).toMatchObject({ readings: [{ systolic: 128 }] })
  })

  it('a reading alone of two does not take the session with it', async () => {
    const id = idOf(await receive([first(words.final, 138), second(words.final)]))
    expect(await receive([first(words.withdrawn[0] ?? '', 138)])).toMatchObject([
      { kind: 'refused', conflict: true, issues: [{ code: 'SAME_ID_OTHER_CONTENT', at: 'readings' }] },
    ])
    expect(await at.flows.ports.store.session(SOURCE, id)).toMatchObject({ version: 1, withdrawn: false })
  })

  it('a correction of one reading alone does not leave out the other', async () => {
    const id = idOf(await receive([first(words.final, 138), second(words.final)]))
    const alone = [first(words.corrected[0] ?? '', 133)]
    expect(await receive(alone)).toMatchObject([
      { kind: 'refused', conflict: true, issues: [{ code: 'SAME_ID_OTHER_CONTENT', at: 'readings' }] },
    ])
    expect(await at.flows.ports.store.session(SOURCE, id)).toMatchObject({ version: 1 })
    expect(await receive([...alone, second(words.final)])).toMatchObject([{ kind: 'corrected' }])
  })

  it('what was never sent cannot be taken back, and is said', async () => {
    expect(await receive([first(words.withdrawn[0] ?? '', 138)])).toMatchObject([
      { kind: 'refused', issues: [{ code: 'NOT_FOUND', at: 'id' }] },
    ])
  })

  it('final and taken back in one document leave nothing to keep', async () => {
    const outcomes = await receive([first(words.final, 138), first(words.withdrawn[0] ?? '', 138)])
    expect(outcomes).toMatchObject([{ kind: 'refused', issues: [{ code: 'NOT_FOUND' }] }])
    expect((await at.flows.ports.store.figures()).sessions).toBe(0)
  })
})

describe('a reading that was emptied when it was taken back is found by its time', () => {
  const whole = observation({ status: 'final', minute: '29', systolic: 138 })
  const { component: parts, ...bare } = observation({ status: 'entered-in-error', minute: '29' })
  it.each<[string, object]>([
    ['to reasons', { ...bare, component: parts }],
    ['to components without a value', { ...bare, component: parts.map(({ code }) => ({ code })) }],
    ['to nothing', bare],
  ])('%s', async (_emptied, gone) => {
    const send = (one: object) => receiveDocument(at.flows, 'fhir-r4', JSON.stringify(one))
    const id = idOf(await send(whole))
    expect(await send(gone)).toMatchObject([{ kind: 'withdrawn', receipt: { id } }])
  })
})

it('a pulse that is taken back is left out of its reading', async () => {
  const reading = observation({ status: 'final', minute: '29', systolic: 138 })
  const pulse = (status: string) => ({
    ...reading,
    status,
    code: { coding: [{ system: 'http://loinc.org', code: '8867-4' }] },
    component: [],
    valueQuantity: { value: 72, system: 'http://unitsofmeasure.org', code: '/min' },
  })
  const send = (status: string) =>
    receiveDocument(at.flows, 'fhir-r4', JSON.stringify([reading, pulse(status)]))
  const raw = async (id: string) => JSON.parse((await at.flows.ports.store.session(SOURCE, id))?.raw ?? '')
  const id = idOf(await send('final'))
  expect((await raw(id)).readings).toMatchObject([{ pulse: 72 }])
  expect(await send('entered-in-error')).toMatchObject([{ kind: 'corrected', receipt: { id } }])
  expect((await raw(id)).readings[0]).not.toHaveProperty('pulse')
})

it('a part that cannot be read is refused in its place, and the others are kept', async () => {
  const good = observation({ status: 'final', minute: '29', systolic: 138 })
  const bad = { ...good, effectiveDateTime: taken('35'), component: good.component.slice(0, 1) }
  const later = { ...good, effectiveDateTime: '2026-03-02T09:00:00Z' }
  expect(await receiveDocument(at.flows, 'fhir-r4', JSON.stringify([good, bad, later]))).toMatchObject([
    { kind: 'refused', issues: [{ code: 'MISSING_KEY', at: '[1].component' }] },
    { kind: 'kept' },
    { kind: 'kept' },
  ])
})
