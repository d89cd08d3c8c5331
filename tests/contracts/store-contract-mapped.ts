import { describe, expect, it } from 'vitest'
import type { MappedFrom, SessionRecord } from '../../src/flow/ports/ports.ts'
import { auditEntry, sessionRecord } from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

export function mappedContract(at: UnderTest): void {
  const from = (sent: string): MappedFrom => ({ mapping: 'a-diary', mappingSha256: 'ab'.repeat(32), sent })
  const mapped = (sent: string, systolic = 134): SessionRecord => ({
    ...sessionRecord({ id: 'a', systolic }),
    mappedFrom: from(sent),
  })
  const correct = (record: SessionRecord) => at.store.correct(record, auditEntry('a', 'session-corrected'))

  describe('what a session was mapped from', () => {
    it('is kept as it was sent, and found by the place of the version, also after a restart', async () => {
      const [kept] = await at.store.accept([mapped('02.03.2026;134\n')])
      expect(kept?.stored).not.toHaveProperty('mappedFrom')
      const store = await at.reopen()
      expect(await store.mappedFrom(kept?.stored.seq ?? 0)).toEqual(from('02.03.2026;134\n'))
    })

    it('is nothing for a record that came as a session record', async () => {
      await at.store.accept([sessionRecord({ id: 'a' })])
      expect(await at.store.mappedFrom(1)).toBeUndefined()
    })

    it('stays as first sent when the same content comes again in another text', async () => {
      await at.store.accept([mapped('first\n')])
      expect(await at.store.accept([mapped('second\n')])).toMatchObject([{ outcome: 'same' }])
      expect(await at.store.mappedFrom(1)).toEqual(from('first\n'))
    })

    it('is kept for each version: of a correction its own, of one in our format none', async () => {
      await correct(mapped('first\n'))
      await correct(mapped('second\n', 140))
      await correct(sessionRecord({ id: 'a', systolic: 150 }))
      const versions = await at.store.sessionVersions(sessionRecord({ id: 'a' }).uuid)
      expect(await Promise.all(versions.map(({ seq }) => at.store.mappedFrom(seq)))).toEqual([
        from('first\n'),
        from('second\n'),
        undefined,
      ])
    })
  })
}
