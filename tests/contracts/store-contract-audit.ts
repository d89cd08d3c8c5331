import { describe, expect, it } from 'vitest'
import { verifyChain } from '../../src/core/audit/chain.ts'
import { auditEntry, enrolment, givenUp, sessionRecord } from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

export function auditContract(at: UnderTest): void {
  describe('the audit trail', () => {
    it('tells of each kept session, in the transaction that kept it', async () => {
      const record = sessionRecord({ id: 'a' })
      await at.store.accept([record, record])
      const [row, ...more] = await at.store.auditPage({ limit: 10 })
      expect(more).toEqual([])
      expect(row).toMatchObject({
        seq: 1,
        at: record.receivedAt,
        actor: 'source:harbour-app',
        action: 'session-received',
        about: record.uuid,
        outcome: 'done',
        detail: { sha256: record.sha256 },
      })
    })

    it('keeps an entry as it was given', async () => {
      const entry = { ...auditEntry('p1'), detail: { zebra: 'z', count: 3 } }
      await at.store.recordAudit(entry)
      const [row] = await at.store.auditPage({ limit: 1 })
      expect(row).toMatchObject(entry)
    })

    it('is one unbroken chain, whatever was done and across restarts', async () => {
      await at.store.accept([sessionRecord({ id: 'a' })])
      await at.store.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))
      const store = await at.reopen()
      await store.accept([sessionRecord({ id: 'b' }), sessionRecord({ id: 'c' })])
      await expect(store.settle({ id: 99, claims: 1 }, givenUp(), auditEntry('x'))).rejects.toThrow()
      await store.recordAudit(auditEntry('x'))
      const rows = await store.auditPage({ limit: 100 })
      expect(rows.map(({ seq }) => seq)).toEqual([1, 2, 3, 4, 5])
      expect(verifyChain(rows)).toBeUndefined()
    })

    it('is paged by number', async () => {
      for (const about of ['a', 'b', 'c']) await at.store.recordAudit(auditEntry(about))
      const abouts = async (after: string) =>
        (await at.store.auditPage({ after, limit: 2 })).map(({ about }) => about)
      expect(await abouts('0')).toEqual(['a', 'b'])
      expect(await abouts('2')).toEqual(['c'])
    })

    it.each([
      [{ about: 'a' }, [1, 4]],
      [{ action: 'key-revoked' }, [2, 4]],
      [{ actor: 'operator' }, [1, 2, 3]],
      [{ actor: 'operator#3fa94c0d2b1e' }, [2]],
      [{ actor: 'oper' }, []],
      [{ actor: 'source:harbour-app', about: 'a', action: 'key-revoked' }, [4]],
      [{ about: 'a', action: 'key-issued' }, []],
    ] as const)('is narrowed to %j', async (filter, meant) => {
      const entries = [
        auditEntry('a', 'source-registered', 'operator'),
        auditEntry('b', 'key-revoked', 'operator#3fa94c0d2b1e'),
        auditEntry('c', 'source-registered', 'operator#5be0'),
        auditEntry('a', 'key-revoked', 'source:harbour-app#77'),
      ]
      for (const entry of entries) await at.store.recordAudit(entry)
      const found = await at.store.auditPage({ limit: 10, ...filter })
      expect(found.map(({ seq }) => seq)).toEqual(meant)
      expect(await at.store.auditPage({ limit: 1, ...filter })).toEqual(found.slice(0, 1))
      expect(await at.store.auditPage({ limit: 9, after: '2', ...filter })).toEqual(
        found.filter(({ seq }) => seq > 2),
      )
    })
  })
}
