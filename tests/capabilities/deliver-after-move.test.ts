/** A person who moved to another clinic: what the one before is told still names them as they are known there. */
import { afterEach, describe, expect, it } from 'vitest'
import type { Store } from '../../src/flow/ports/ports.ts'
import { MRN } from '../support/played-clinic.ts'
import {
  openDelivery,
  type QueuedDelivery,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const LATER = 'later-clinic'

/** Two sessions at the first clinic; then the subject is linked to a patient of another one. */
async function move(around: (store: Store) => Store = (store) => store): Promise<void> {
  at = await openDelivery({
    played: { patients: ['P-HW-1', 'Q-1'] },
    others: [{ name: LATER, baseUrl: 'https://later.example/fhir', readings: 'never' }],
    around,
  })
  await queueSessions(at, 'HW-1', ['s-1', 's-2'])
  expect(await at.deliver()).toMatchObject({ settled: 2 })
  await at.flows.enrol('HW-1', { patient: { system: MRN, value: 'Q-1' }, destination: LATER })
}

const versionsOf = (id: string) =>
  [1, 2].map(
    (ordinal) => at.clinic.server.holding(readingOf(id, ordinal))[0]?.map(({ resource }) => resource) ?? [],
  )

describe('the clinic that a person moved from', () => {
  it('is told of corrections and withdrawals of what it holds, under the identifier that it knows', async () => {
    await move()
    const posted = at.clinic.posted.length
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    await at.flows.withdraw('s-2')
    expect(await at.deliver()).toMatchObject({ settled: 2, updated: 4 })
    const texts = at.clinic.posted.slice(posted).map(({ text }) => text)
    expect(texts.filter((text) => text.includes('Q-1'))).toEqual([])
    for (const versions of [...versionsOf('s-1'), ...versionsOf('s-2')]) {
      const [before, now] = versions
      expect(versions).toHaveLength(2)
      expect(now?.subject).toEqual(before?.subject)
    }
  })

  it('is told nothing, and the operator that, where nobody knows the identifier any more', async () => {
    await move((store) => ({ ...store, earlierPatient: () => Promise.resolve(undefined) }))
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    expect(await at.deliver()).toMatchObject({ givenUp: 1 })
    expect((await at.entries()).at(-1)).toMatchObject({ lastProblem: 'ENROLMENT_GONE' })
    for (const versions of versionsOf('s-1')) expect(versions).toHaveLength(1)
  })
})
