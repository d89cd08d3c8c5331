import { createHash } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import type { AuditEntry, AuditRow } from './audit-entry.ts'
import { CHAIN_START, chainHash, verifyChain } from './chain.ts'

const entry = (about: string): AuditEntry => ({
  at: '2026-03-02T13:41:00Z',
  actor: 'source:harbour-app',
  action: 'session-received',
  about,
  outcome: 'done',
  detail: { sha256: 'ab', count: 2 },
})

function chainOf(count: number): AuditRow[] {
  const rows: AuditRow[] = []
  for (let seq = 1; seq <= count; seq += 1) {
    const next = entry(`uuid-${seq}`)
    rows.push({ ...next, seq, hash: chainHash(rows.at(-1)?.hash ?? CHAIN_START, next) })
  }
  return rows
}

describe('the audit hash chain', () => {
  it('hashes the previous hash, a line feed and the entry as canonical JSON', () => {
    const bytes = Buffer.from(
      `${'0'.repeat(64)}\n{"about":"é","action":"session-received","actor":"source:harbour-app",` +
        '"at":"2026-03-02T13:41:00Z","detail":{"count":2,"sha256":"ab"},"outcome":"done"}',
      'utf8',
    )
    expect(chainHash(CHAIN_START, entry('é'))).toBe(createHash('sha256').update(bytes).digest('hex'))
  })

  it('gives the same hash whatever the order of the keys in the detail', () => {
    const turned: AuditEntry = { ...entry('x'), detail: { count: 2, sha256: 'ab' } }
    expect(chainHash(CHAIN_START, turned)).toBe(chainHash(CHAIN_START, entry('x')))
  })

  it('finds nothing wrong with an untouched chain, whole or from the middle', () => {
    const rows = chainOf(5)
    expect(verifyChain(rows)).toBeUndefined()
    expect(verifyChain(rows.slice(2), rows[1]?.hash)).toBeUndefined()
    expect(verifyChain([])).toBeUndefined()
  })

  const tamperings: readonly [string, (rows: AuditRow[]) => AuditRow[], number][] = [
    ['a changed detail', (rows) => rows.map((row) => (row.seq === 3 ? { ...row, detail: {} } : row)), 3],
    ['a changed time', (rows) => rows.map((row) => (row.seq === 1 ? { ...row, at: '2026' } : row)), 1],
    ['a removed row', (rows) => rows.filter((row) => row.seq !== 2), 3],
    ['a removed first row', (rows) => rows.slice(1), 2],
    ['a row that was hashed again alone', (rows) => rehashed(rows, 2), 3],
  ]
  for (const [what, tamper, broken] of tamperings) {
    it(`finds ${what} at row ${broken}`, () => {
      expect(verifyChain(tamper(chainOf(5)))).toBe(broken)
    })
  }
})

function rehashed(rows: AuditRow[], seq: number): AuditRow[] {
  return rows.map((row, index) => {
    if (row.seq !== seq) return row
    const changed = { ...row, outcome: 'failed' as const }
    return { ...changed, hash: chainHash(rows[index - 1]?.hash ?? CHAIN_START, changed) }
  })
}
