import type { SeededRandom } from '../../samples/generator/seeded-random.ts'
import { pause } from '../support/hostile-clinic/clinic-context.ts'
import { DAYS, FIRST_DAY, type PlannedPerson, type PlannedSession, recordOf } from './chaos-plan.ts'
import { SOURCE } from './chaos-settings.ts'
import type { GatewayApi } from './gateway-api.ts'

/** What one person's home app and clinic told the gateway, and what must therefore be in the clinic's record. */
export interface ActedPerson {
  readonly planned: PlannedPerson
  /** The period's UUID. */
  readonly period: string
  /** By the app's session id. */
  readonly sessions: ReadonlyMap<string, ToldSession>
}

export interface ToldSession {
  /** UUID, as the receipt gave it. */
  readonly uuid: string
  /** As last told. */
  readonly session: PlannedSession
  readonly version: number
  readonly withdrawn: boolean
}

/** Enrols, sends, opens and closes the period, and then changes what was sent, with pauses in which anything may happen. */
export async function actAsPerson(
  planned: PlannedPerson,
  api: GatewayApi,
  random: SeededRandom,
): Promise<ActedPerson> {
  const { subject, patient, destination } = planned
  const told = new Map<string, ToldSession>()
  await api.send('PUT', `/enrolments/${SOURCE}/${subject}`, { patient, zone: 'UTC', destination })
  for (const session of planned.sessions) await submit(session)
  const opened = await api.send('POST', '/periods', {
    source: SOURCE,
    subject,
    protocol: 'nice-ng136-home',
    firstDay: FIRST_DAY,
    days: DAYS,
  })
  const period = textAt(opened, 'id')
  await api.send('POST', `/periods/${period}/close`)
  for (const change of planned.changes) {
    await pause(random.whole(0, 800))
    if (change.kind === 'late') await submit(change.session)
    else if (change.kind === 'correct') await correct(change.session)
    else await withdraw(change.id)
  }
  return { planned, period, sessions: told }

  async function submit(session: PlannedSession): Promise<void> {
    const receipt = await api.send('POST', `/sessions?source=${SOURCE}`, recordOf(planned, session))
    told.set(session.id, { uuid: textAt(receipt, 'session'), session, version: 1, withdrawn: false })
  }

  async function correct(session: PlannedSession): Promise<void> {
    const before = toldOf(session.id)
    await api.send('PUT', `/sessions/${session.id}?source=${SOURCE}`, recordOf(planned, session))
    const same = JSON.stringify(before.session) === JSON.stringify(session)
    told.set(session.id, { ...before, session, version: before.version + (same ? 0 : 1) })
  }

  async function withdraw(id: string): Promise<void> {
    const before = toldOf(id)
    await api.send('DELETE', `/sessions/${id}?source=${SOURCE}`)
    told.set(id, { ...before, version: before.version + 1, withdrawn: true })
  }

  function toldOf(id: string): ToldSession {
    const session = told.get(id)
    if (session === undefined) throw new Error('only what was told can be changed')
    return session
  }
}

function textAt(answer: unknown, key: string): string {
  const value = typeof answer === 'object' && answer !== null ? Object.entries(answer) : []
  const text = value.find(([name]) => name === key)?.[1]
  if (typeof text !== 'string') throw new Error(`the gateway’s answer has no ${key}`)
  return text
}
