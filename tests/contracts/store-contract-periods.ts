import { describe, expect, it } from 'vitest'
import {
  auditEntry,
  average,
  closing,
  closingFor,
  period,
  RECEIVED_MS,
  sessionRecord,
} from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

const opened = (id: string) => auditEntry(id, 'period-opened')
const closed = (id: string) => auditEntry(id, 'period-closed')
const withdrawn = (id: string) => auditEntry(id, 'period-withdrawn')

export function periodContract(at: UnderTest): void {
  describe('periods', () => {
    it('opens a period once', async () => {
      const one = { ...period('p1', 1000), arm: 'left' } as const
      expect(await at.store.openPeriod(one, opened('p1'))).toBe(true)
      expect(await at.store.openPeriod({ ...one, lastDay: '2026-03-31' }, opened('p1'))).toBe(false)
      expect(await at.store.period('p1')).toEqual(one)
      expect(await at.store.period('p2')).toBeUndefined()
      expect(await at.store.figures()).toMatchObject({ periods: 1, auditRows: 1 })
    })

    it('lists those that are due, longest due first, up to the limit', async () => {
      for (const [id, dueMs] of [
        ['p1', 3000],
        ['p2', 1000],
        ['p3', 2000],
        ['p4', 3001],
      ] as const) {
        await at.store.openPeriod(period(id, dueMs), opened(id))
      }
      const ids = async (limit: number) => (await at.store.duePeriods(3000, limit)).map(({ id }) => id)
      expect(await ids(10)).toEqual(['p2', 'p3', 'p1'])
      expect(await ids(2)).toEqual(['p2', 'p3'])
      await at.store.closePeriod('p3', closing('p3'), 3000, closed('p3'))
      expect(await ids(10)).toEqual(['p2', 'p1'])
    })

    it('pages through all of them by id', async () => {
      for (const id of ['b', 'a', 'c']) await at.store.openPeriod(period(id, 1), opened(id))
      const first = await at.store.periodPage({ limit: 2 })
      expect(first.map(({ id }) => id)).toEqual(['a', 'b'])
      expect((await at.store.periodPage({ limit: 2, after: 'b' })).map(({ id }) => id)).toEqual(['c'])
    })

    it('closes an open period with its average and queues that', async () => {
      await at.store.openPeriod(period('p1', 1000), opened('p1'))
      expect(await at.store.issuedAverages('p1')).toEqual([])
      expect(
        await at.store.closePeriod('p1', closingFor('later-clinic', 'p1'), RECEIVED_MS, closed('p1')),
      ).toBe(true)
      const store = await at.reopen()
      expect((await store.period('p1'))?.state).toBe('closed')
      expect(await store.issuedAverages('p1')).toEqual([average('p1', 1, 'later-clinic')])
      expect(await store.deliveryPage({ limit: 9 })).toEqual([
        {
          id: 1,
          destination: 'later-clinic',
          source: 'harbour-app',
          subject: 'HW-1',
          kind: 'average',
          part: '1',
          urgent: false,
          about: 'p1',
          state: 'waiting',
          attempts: 0,
          claims: 0,
          queuedMs: RECEIVED_MS,
          dueMs: RECEIVED_MS,
          uncertain: false,
          begun: false,
        },
      ])
      expect(await store.figures()).toMatchObject({ averages: 1, auditRows: 2 })
    })

    it('changes nothing when a period was closed already, or never opened', async () => {
      await at.store.openPeriod(period('p1', 1000), opened('p1'))
      await at.store.closePeriod('p1', closing('p1'), 1000, closed('p1'))
      const before = await at.store.figures()
      const other = closing('p1', 1, { average: { ...average('p1'), summary: '{}' } })
      expect(await at.store.closePeriod('p1', other, 2000, closed('p1'))).toBe(false)
      expect(await at.store.closePeriod('none', closing('none'), 2000, closed('none'))).toBe(false)
      expect(await at.store.issuedAverages('p1')).toEqual([average('p1')])
      expect(await at.store.figures()).toEqual(before)
    })

    it('lists the periods of one person by their first day', async () => {
      const later = { ...period('a', 1), firstDay: '2026-03-09', lastDay: '2026-03-15' }
      for (const one of [later, period('b', 1), period('c', 1, 'HW-2')]) {
        await at.store.openPeriod(one, opened(one.id))
      }
      const found = await at.store.periodsOf('harbour-app', 'HW-1')
      expect(found.map(({ id }) => id)).toEqual(['b', 'a'])
      expect(await at.store.periodsOf('no-such', 'HW-1')).toEqual([])
    })

    it('opens a closed period again with another due time, once', async () => {
      await at.store.openPeriod(period('p1', 1000), opened('p1'))
      expect(await at.store.reopenPeriod('p1', 5000, opened('p1'))).toBe(false)
      await at.store.closePeriod('p1', closing('p1', 1, { readThrough: 7 }), 1000, closed('p1'))
      expect(await at.store.reopenPeriod('p1', 5000, opened('p1'))).toBe(true)
      expect(await at.store.reopenPeriod('p1', 6000, opened('p1'))).toBe(false)
      expect(await at.store.reopenPeriod('none', 6000, opened('none'))).toBe(false)
      const again = { ...period('p1', 5000), revision: 1, readThrough: 7 }
      expect(await at.store.duePeriods(5000, 10)).toEqual([again])
      expect(await at.store.figures()).toMatchObject({ auditRows: 3 })
    })

    it('keeps every average that was issued, and queues each', async () => {
      await at.store.openPeriod(period('p1', 1000), opened('p1'))
      await at.store.closePeriod('p1', closing('p1'), 1000, closed('p1'))
      await at.store.reopenPeriod('p1', 2000, opened('p1'))
      expect(await at.store.closePeriod('p1', closing('p1', 2, { readThrough: 9 }), 2000, closed('p1'))).toBe(
        true,
      )
      const store = await at.reopen()
      expect(await store.issuedAverages('p1')).toEqual([average('p1', 1), average('p1', 2)])
      expect(await store.period('p1')).toMatchObject({ state: 'closed', revision: 2, readThrough: 9 })
      expect((await store.deliveryPage({ limit: 9 })).map(({ part }) => part)).toEqual(['1', '2'])
      expect(await store.figures()).toMatchObject({ periods: 1, averages: 2 })
    })

    it('issues and queues what amends the averages of other destinations behind it, or alone', async () => {
      await at.store.openPeriod(period('p1', 1000), opened('p1'))
      const elsewhere = [average('p1', 2, 'earlier-clinic')]
      await at.store.closePeriod('p1', closing('p1', 1, { elsewhere, urgent: true }), 1000, closed('p1'))
      await at.store.reopenPeriod('p1', 2000, opened('p1'))
      const alone = { elsewhere: [average('p1', 3, 'earlier-clinic')], readThrough: 9, urgent: false }
      expect(await at.store.closePeriod('p1', alone, 2000, closed('p1'))).toBe(true)
      expect(await at.store.period('p1')).toMatchObject({ state: 'closed', revision: 3 })
      const issued = [average('p1', 1), ...elsewhere, ...alone.elsewhere]
      expect(await at.store.issuedAverages('p1')).toEqual(issued)
      const queued = await at.store.deliveryPage({ limit: 9 })
      expect(queued.map(({ destination, part, urgent }) => [destination, part, urgent])).toEqual([
        ['clinic', '1', true],
        ['earlier-clinic', '2', false],
        ['earlier-clinic', '3', false],
      ])
    })

    it('keeps what a destination asked for when an average was rendered', async () => {
      await at.store.openPeriod(period('p1', 1000), opened('p1'))
      const formed = { ...average('p1'), form: 'v2 0' }
      await at.store.closePeriod('p1', closing('p1', 1, { average: formed }), 1000, closed('p1'))
      expect(await at.store.issuedAverages('p1')).toEqual([formed])
    })

    it('closes without an average, which issues and queues nothing but remembers how far it read', async () => {
      await at.store.openPeriod(period('p1', 1000), opened('p1'))
      await at.store.closePeriod('p1', closing('p1'), 1000, closed('p1'))
      await at.store.reopenPeriod('p1', 2000, opened('p1'))
      expect(await at.store.closePeriod('p1', { readThrough: 12, urgent: false }, 2000, closed('p1'))).toBe(
        true,
      )
      expect(await at.store.period('p1')).toMatchObject({ state: 'closed', revision: 1, readThrough: 12 })
      expect(await at.store.deliveryPage({ limit: 9 })).toHaveLength(1)
    })

    it('leaves a period open, and due, where something of its person came in after it read and was followed already', async () => {
      const { source, subject } = sessionRecord({ id: 'a' })
      const overtaken = (name: string) => ({
        person: [{ source, subject: name }],
        audit: auditEntry('p1', 'period-reopened'),
      })
      const close = (revision: number, name: string, readThrough: number) =>
        at.store.closePeriod(
          'p1',
          closing('p1', revision, { readThrough, overtaken: overtaken(name) }),
          2000,
          closed('p1'),
        )
      await at.store.openPeriod(period('p1', 1000), opened('p1'))
      await at.store.accept([sessionRecord({ id: 'a' })])
      expect(await close(1, subject, 0)).toBe(true)
      expect(await at.store.period('p1')).toMatchObject({ state: 'closed', revision: 1 })

      await at.store.markFollowed(1)
      await at.store.reopenPeriod('p1', 1000, opened('p1'))
      await close(2, 'somebody else', 0)
      expect(await at.store.period('p1')).toMatchObject({ state: 'closed', revision: 2 })
      await at.store.reopenPeriod('p1', 1000, opened('p1'))
      expect(await close(3, subject, 0)).toBe(true)
      expect(await at.store.period('p1')).toMatchObject({ state: 'open', revision: 3, dueMs: 2000 })
      expect((await at.store.auditPage({ limit: 20 })).map(({ action }) => action).slice(-2)).toEqual([
        'period-closed',
        'period-reopened',
      ])
      await close(4, subject, 1)
      expect(await at.store.period('p1')).toMatchObject({ state: 'closed', revision: 4 })
    })

    it('withdraws a period once, open or closed, and nothing opens it again', async () => {
      await at.store.openPeriod(period('p1', 1000), opened('p1'))
      await at.store.openPeriod(period('p2', 1000), opened('p2'))
      await at.store.closePeriod('p2', closing('p2', 1, { readThrough: 7 }), 1000, closed('p2'))
      const { auditRows } = await at.store.figures()
      expect(await at.store.withdrawPeriod('p1', { after: 0, takenBack: [] }, 2000, withdrawn('p1'))).toBe(
        true,
      )
      const back = { ...average('p2', 2), takesBack: true } as const
      const withdrawal = { after: 1, takenBack: [back] }
      expect(await at.store.withdrawPeriod('p2', withdrawal, 2000, withdrawn('p2'))).toBe(true)
      for (const id of ['p1', 'p2', 'none']) {
        expect(await at.store.withdrawPeriod(id, withdrawal, 3000, withdrawn(id))).toBe(false)
        expect(await at.store.reopenPeriod(id, 3000, opened(id))).toBe(false)
        expect(await at.store.closePeriod(id, closing(id, 3), 3000, closed(id))).toBe(false)
      }
      const store = await at.reopen()
      expect(await store.duePeriods(9000, 10)).toEqual([])
      expect(await store.period('p1')).toEqual({ ...period('p1', 1000), state: 'withdrawn' })
      expect(await store.period('p2')).toMatchObject({ state: 'withdrawn', revision: 2, readThrough: 7 })
      expect(await store.issuedAverages('p2')).toEqual([average('p2'), back])
      expect((await store.deliveryPage({ limit: 9 })).map(({ part, urgent }) => [part, urgent])).toEqual([
        ['1', false],
        ['2', false],
      ])
      expect(await store.figures()).toMatchObject({ periods: 2, averages: 2, auditRows: auditRows + 2 })
    })

    it('withdraws nothing where another average was issued meanwhile', async () => {
      await at.store.openPeriod(period('p1', 1000), opened('p1'))
      await at.store.closePeriod('p1', closing('p1'), 1000, closed('p1'))
      const before = await at.store.figures()
      expect(await at.store.withdrawPeriod('p1', { after: 0, takenBack: [] }, 2000, withdrawn('p1'))).toBe(
        false,
      )
      expect(await at.store.figures()).toEqual(before)
      expect((await at.store.period('p1'))?.state).toBe('closed')
    })

    it('refuses an average that is not the next one, and keeps nothing of it', async () => {
      await at.store.openPeriod(period('p1', 1000), opened('p1'))
      const before = await at.store.figures()
      await expect(at.store.closePeriod('p1', closing('p1', 2), 1000, closed('p1'))).rejects.toMatchObject({
        code: 'STORE_FAILED',
        message: expect.stringContaining('revision 2'),
      })
      expect(await at.store.figures()).toEqual(before)
      expect((await at.store.period('p1'))?.state).toBe('open')
    })
  })
}
