import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../samples/generator/seeded-random.ts'
import type { ExactMean } from '../../src/core/basics/exact-mean.ts'
import { addDays, startOfDay } from '../../src/core/basics/local-day.ts'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import type { PeriodAverage } from '../../src/core/clinical/averaging/period-average.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import type { Enrolment } from '../../src/core/registry/enrolment.ts'
import { keptSession } from '../../src/flow/check/read-stored.ts'
import type { Store, SweepRequest, SweptAverage, SweptMean } from '../../src/flow/ports/ports.ts'
import { shippedProtocol, shippedProtocols } from '../support/shipped-profiles.ts'
import { randomSitting, randomSittings } from './random-sittings.ts'
import { auditEntry, enrolment, RECEIVED_AT, sessionRecord } from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

const DAYS = { firstDay: '2026-03-02', lastDay: '2026-03-08' } as const
const NICE = shippedProtocol('nice-ng136-home')
const enrolled = auditEntry('harbour-app')

/** A session on the first of the days. */
const session = (said: Parameters<typeof sessionRecord>[0]) =>
  sessionRecord({ takenAt: '2026-03-02T16:00:00Z', ...said })

async function sweep(store: Store, changes: Partial<SweepRequest> = {}): Promise<readonly SweptAverage[]> {
  const found: SweptAverage[] = []
  for await (const batch of store.sweep({ protocol: NICE, ...DAYS, ...changes })) found.push(...batch)
  return found
}

/** What a person's own period comes to, from the sessions the store gives for it. */
async function ownAverage(store: Store, link: Enrolment, protocol: Protocol): Promise<PeriodAverage> {
  const { source, subject, zone } = link
  const from = startOfDay(DAYS.firstDay, zone)
  const to = startOfDay(addDays(DAYS.lastDay, 1), zone)
  const stored = await store.sessionsBetween(source, subject, from, to - 1)
  const sittings = stored.map((one) => ({
    session: keptSession(one),
    findings: [],
    withdrawn: one.withdrawn,
  }))
  return averagePeriod({ protocol, zone, ...DAYS }, sittings, [])
}

/** In lowest terms, so that equal means are the same numbers. */
function reduced({ total, count }: ExactMean): ExactMean {
  let [divisor, rest] = [total < 0n ? -total : total, count]
  while (rest !== 0n) [divisor, rest] = [rest, divisor % rest]
  return { total: total / divisor, count: count / divisor }
}

const ofMean = ({ systolic, diastolic, readings }: SweptMean): SweptMean => ({
  systolic: reduced(systolic),
  diastolic: reduced(diastolic),
  readings,
})

function inLowestTerms({ mean, byWindow, ...swept }: SweptAverage): SweptAverage {
  return {
    ...swept,
    ...(mean === undefined ? {} : { mean: ofMean(mean) }),
    byWindow: byWindow.map((one) => ({ window: one.window, ...ofMean(one) })),
  }
}

function asSwept({ source, subject }: Enrolment, average: PeriodAverage): SweptAverage {
  const { received, used, mean, byWindow } = average
  return inLowestTerms({
    source,
    subject,
    linked: false,
    received,
    used: used.length,
    days: new Set(used.map(({ day }) => day)).size,
    ...(mean === undefined ? {} : { mean }),
    byWindow: byWindow.map(({ window, mean }) => ({ window, ...mean })),
  })
}

export function sweepContract(at: UnderTest): void {
  describe('averaging everyone', () => {
    it('gives each person what their own period comes to, under every protocol', async () => {
      const zones = ['America/Denver', 'Asia/Tokyo', 'Pacific/Kiritimati', 'Europe/Lisbon']
      const links = Array.from({ length: 12 }, (_, index) => ({
        ...enrolment(`HW-${String(index).padStart(2, '0')}`),
        zone: zones[index % zones.length] ?? 'UTC',
      }))
      for (const [index, link] of links.entries()) {
        await at.store.saveEnrolment(link, enrolled)
        await at.store.accept(randomSittings(link.subject, 5 + 6 * index, index))
      }
      const random = seededRandom(99)
      for (const { subject } of links.slice(4)) {
        const again = randomSitting(`${subject}-1`, subject, random)
        await at.store.correct(again, auditEntry('x', 'session-corrected'))
        await at.store.withdraw(
          'harbour-app',
          `${subject}-2`,
          RECEIVED_AT,
          auditEntry('x', 'session-withdrawn'),
        )
      }
      for (const protocol of shippedProtocols()) {
        const expected: SweptAverage[] = []
        for (const link of links) {
          const own = await ownAverage(at.store, link, protocol)
          if (own.received > 0) expected.push(asSwept(link, own))
        }
        const swept = await sweep(at.store, { protocol })
        expect(swept.map(inLowestTerms), protocol.id).toEqual(expected)
        expect(expected.filter(({ mean }) => mean !== undefined).length).toBeGreaterThan(6)
      }
    })

    it('has everything that was acknowledged before it, the newest version only, also after a restart', async () => {
      await at.store.saveEnrolment(enrolment('HW-1'), enrolled)
      const day = (id: string, number: number, systolic: number) =>
        session({ id, takenAt: `2026-03-0${number}T16:00:00Z`, systolic })
      await at.store.accept([day('a', 2, 120), day('b', 3, 130), day('c', 4, 140)])
      await at.store.correct(day('b', 3, 150), auditEntry('b', 'session-corrected'))
      await at.store.withdraw('harbour-app', 'c', RECEIVED_AT, auditEntry('c', 'session-withdrawn'))
      await at.store.accept([day('d', 5, 160)])
      const mean = { systolic: { total: 310n * 133_322_000n, count: 2n }, readings: 2 }
      const expected = [{ subject: 'HW-1', received: 4, used: 2, days: 2, mean }]
      expect(await sweep(at.store)).toMatchObject(expected)
      expect(await sweep(await at.reopen())).toMatchObject(expected)
    })

    it('leaves out who has nothing in the days, and who is not enrolled', async () => {
      for (const subject of ['HW-1', 'HW-2', 'HW-3'])
        await at.store.saveEnrolment(enrolment(subject), enrolled)
      await at.store.accept([
        session({ id: 'a', subject: 'HW-1', takenAt: '2026-03-09T18:00:00Z' }),
        session({ id: 'b', subject: 'HW-2' }),
        session({ id: 'c', subject: 'HW-4' }),
      ])
      expect((await sweep(at.store)).map(({ subject }) => subject)).toEqual(['HW-2'])
      await at.store.saveEnrolment(enrolment('HW-4'), enrolled)
      expect((await sweep(at.store)).map(({ subject }) => subject)).toEqual(['HW-2', 'HW-4'])
    })

    it('lists someone whose only readings were withdrawn, without a mean', async () => {
      await at.store.saveEnrolment(enrolment('HW-1'), enrolled)
      await at.store.accept([session({ id: 'a' })])
      await at.store.withdraw('harbour-app', 'a', RECEIVED_AT, auditEntry('a', 'session-withdrawn'))
      const none = { source: 'harbour-app', subject: 'HW-1', linked: false, byWindow: [] }
      expect(await sweep(at.store)).toEqual([{ ...none, received: 1, used: 0, days: 0 }])
    })

    it('goes by source and subject, and can be kept to one source', async () => {
      for (const source of ['hill-app', 'a-app']) {
        for (const subject of ['z', 'b', 'ä']) {
          await at.store.saveEnrolment(enrolment(subject, 'clinic', source), enrolled)
          await at.store.accept([session({ id: subject, subject, source })])
        }
      }
      const names = (found: readonly SweptAverage[]) =>
        found.map(({ source, subject }) => `${source}/${subject}`)
      expect(names(await sweep(at.store))).toEqual([
        'a-app/b',
        'a-app/z',
        'a-app/ä',
        'hill-app/b',
        'hill-app/z',
        'hill-app/ä',
      ])
      expect(names(await sweep(at.store, { source: 'hill-app' }))).toHaveLength(3)
      expect(await sweep(at.store, { source: 'no-such' })).toEqual([])
    })

    it('marks the enrolments of a person who has several, each averaged by itself', async () => {
      const patient = { system: 'https://clinic.example/mrn', value: 'P-1' }
      for (const [source, subject] of [
        ['a-app', 'A-1'],
        ['a-app', 'A-2'],
        ['harbour-app', 'HW-1'],
        ['harbour-app', 'HW-2'],
      ] as const) {
        await at.store.saveEnrolment({ ...enrolment(subject, 'clinic', source), patient }, enrolled)
        await at.store.accept([session({ id: subject, subject, source })])
      }
      await at.store.saveEnrolment({ ...enrolment('HW-2', 'later-clinic'), patient }, enrolled)
      await at.store.saveEnrolment({ ...enrolment('A-2', 'clinic', 'a-app'), zone: 'Asia/Tokyo' }, enrolled)
      const found = await sweep(at.store)
      expect(found.map(({ subject, linked, received }) => [subject, linked, received])).toEqual([
        ['A-1', true, 1],
        ['A-2', false, 1],
        ['HW-1', true, 1],
        ['HW-2', false, 1],
      ])
    })

    it('comes in batches, stops when the reader does, and can be begun again at once', async () => {
      const subjects = Array.from({ length: 1_200 }, (_, index) => `HW-${String(index).padStart(4, '0')}`)
      await Promise.all(subjects.map((subject) => at.store.saveEnrolment(enrolment(subject, 'x'), enrolled)))
      await at.store.accept(subjects.map((subject) => session({ id: subject, subject })))
      let first = 0
      for await (const batch of at.store.sweep({ protocol: NICE, ...DAYS })) {
        first = batch.length
        break
      }
      expect(first).toBeGreaterThan(0)
      expect(first).toBeLessThan(1_200)
      expect((await sweep(at.store)).map(({ subject }) => subject)).toEqual(subjects)
    })

    it('lets the store go on accepting between batches', async () => {
      await at.store.saveEnrolment(enrolment('HW-1'), enrolled)
      await at.store.accept([session({ id: 'a' })])
      const outcomes: string[] = []
      for await (const batch of at.store.sweep({ protocol: NICE, ...DAYS })) {
        const [answer] = await at.store.accept([session({ id: `b-${batch.length}` })])
        outcomes.push(answer?.outcome ?? 'none')
      }
      expect(outcomes).toEqual(['kept'])
    })
  })
}
