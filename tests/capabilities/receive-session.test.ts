import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Ports } from '../../src/flow/ports/ports.ts'
import { receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { rawRecord } from '../support/raw-record.ts'

const ORIGIN = { source: 'harbour-app' }
const MORNING = { takenAt: '2026-03-02T07:00:00+00:00', systolic: 131, diastolic: 82 }

describe('receiving sessions', () => {
  let door: OpenDoor
  beforeAll(async () => {
    door = await openDoor()
  })
  afterAll(() => door.close())

  const at = (now: string): Ports => ({ ...door.ports, clock: { now: () => Date.parse(now) } })
  const text = (id: string, change = {}) =>
    JSON.stringify(rawRecord({ id, takenAt: MORNING.takenAt, readings: [MORNING], ...change }))

  it('gives the receipt of a session again as it was, although time has passed', async () => {
    const incoming = [{ text: text('early') }]
    const [first] = await receiveSessions(incoming, ORIGIN, at('2026-03-01T07:00:00Z'))
    const [second] = await receiveSessions(incoming, ORIGIN, at('2026-03-05T07:00:00Z'))
    expect(first).toMatchObject({ kind: 'kept' })
    expect(first).toHaveProperty('receipt.findings', [expect.objectContaining({ code: 'time-in-future' })])
    expect(second).toEqual({ ...first, kind: 'same' })
  })

  it('keeps a record that came with a byte order mark without it, so that it can be read and compared', async () => {
    const [first] = await receiveSessions(
      [{ text: `\ufeff${text('marked')}` }],
      ORIGIN,
      at('2026-03-03T07:00:00Z'),
    )
    const [second] = await receiveSessions([{ text: text('marked') }], ORIGIN, at('2026-03-03T07:00:00Z'))
    expect([first?.kind, second?.kind]).toEqual(['kept', 'same'])
    expect((await door.ports.store.session(ORIGIN.source, 'marked'))?.raw).toBe(text('marked'))
    const [from, to] = [Date.parse('2026-03-02T00:00:00Z'), Date.parse('2026-03-03T00:00:00Z')]
    const found = await door.ports.store.sessionsBetween(ORIGIN.source, 'HW-1042', from, to)
    expect(found.map(({ id }) => id)).toContain('marked')
  })

  it('keeps the rest when one record is refused, each answer in its place', async () => {
    const outcomes = await receiveSessions(
      [
        { text: text('one'), line: 1 },
        { text: '{"id": ', line: 2 },
        { text: text('three'), line: 3 },
      ],
      ORIGIN,
      at('2026-03-03T07:00:00Z'),
    )
    expect(outcomes.map(({ kind }) => kind)).toEqual(['kept', 'refused', 'kept'])
    expect(outcomes[1]).toHaveProperty('issues.0.line', 2)
  })

  it('refuses other content under a taken id and leaves what is held as it is', async () => {
    await receiveSessions([{ text: text('taken') }], ORIGIN, at('2026-03-03T07:00:00Z'))
    const changed = text('taken', { arm: 'right' })
    const [outcome] = await receiveSessions([{ text: changed }], ORIGIN, at('2026-03-03T08:00:00Z'))
    expect(outcome).toMatchObject({
      kind: 'refused',
      conflict: true,
      issues: [{ code: 'SAME_ID_OTHER_CONTENT' }],
    })
    expect((await door.ports.store.session(ORIGIN.source, 'taken'))?.raw).toBe(text('taken'))
  })

  it('puts refusals in the trail by number and code, and nothing of the records', async () => {
    const bad = text('canary-id', { subject: 'canary-subject', arm: 'canary-arm' })
    await receiveSessions([{ text: bad }, { text: bad }], ORIGIN, at('2026-03-03T07:00:00Z'))
    const rows = await door.ports.store.auditPage({ limit: 200 })
    expect(rows.at(-1)).toMatchObject({
      actor: 'source:harbour-app',
      action: 'session-refused',
      outcome: 'refused',
      detail: { records: 2, codes: 'NOT_A_CHOICE' },
    })
    expect(JSON.stringify([rows, door.log])).not.toContain('canary')
  })
})
