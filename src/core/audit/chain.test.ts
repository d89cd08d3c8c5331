import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { AuditEntry, AuditRow } from './audit-entry.ts'
import {
  CHAIN_START,
  type ChainBreak,
  canonicalDetail,
  chainHash,
  placeText,
  readPlace,
  verifyChain,
} from './chain.ts'

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

  it('gives the hash that DEVELOPERS.md shows for its example', () => {
    const guide = readFileSync(new URL('../../../DEVELOPERS.md', import.meta.url), 'utf8')
    const [, json, shown] = /\n(\{"about".*)\n```\n\nwith the hash `(\w{64})`/.exec(guide) ?? []
    expect(shown).toBe(chainHash(CHAIN_START, JSON.parse(json ?? '')))
    expect(shown).toBe(
      createHash('sha256')
        .update(`${'0'.repeat(64)}\n${json}`)
        .digest('hex'),
    )
  })

  it('gives the same hash whatever the order of the keys in the detail', () => {
    const turned: AuditEntry = { ...entry('x'), detail: { count: 2, sha256: 'ab' } }
    expect(chainHash(CHAIN_START, turned)).toBe(chainHash(CHAIN_START, entry('x')))
  })

  it('finds nothing wrong with an untouched chain, whole or from the middle', () => {
    const rows = chainOf(5)
    expect(verifyChain(rows)).toBeUndefined()
    expect(verifyChain(rows.slice(2), rows[1])).toBeUndefined()
    expect(verifyChain([])).toBeUndefined()
  })

  it('takes a detail as the text that is kept, and finds it changed even where it reads the same', () => {
    const kept = chainOf(3).map((row) => ({ ...row, detail: canonicalDetail(row.detail) }))
    expect(verifyChain(kept)).toBeUndefined()
    const spaced = kept.map((row) =>
      row.seq === 2 ? { ...row, detail: row.detail.replace(':', ': ') } : row,
    )
    expect(verifyChain(spaced)).toEqual({ seq: 2, what: 'changed' })
  })

  const tamperings: readonly [string, (rows: AuditRow[]) => AuditRow[], ChainBreak][] = [
    [
      'a changed detail',
      (rows) => rows.map((row) => (row.seq === 3 ? { ...row, detail: {} } : row)),
      { seq: 3, what: 'changed' },
    ],
    [
      'a changed time',
      (rows) => rows.map((row) => (row.seq === 1 ? { ...row, at: '2026' } : row)),
      { seq: 1, what: 'changed' },
    ],
    [
      'a row added before the first',
      (rows) => [{ ...entry('x'), seq: -1, hash: chainHash(CHAIN_START, entry('x')) }, ...rows],
      { seq: -1, what: 'added' },
    ],
    ['a removed row', (rows) => rows.filter((row) => row.seq !== 2), { seq: 2, what: 'missing' }],
    ['a removed first row', (rows) => rows.slice(1), { seq: 1, what: 'missing' }],
    ['a row that was hashed again alone', (rows) => rehashed(rows, 2), { seq: 3, what: 'changed' }],
    [
      'a removed row whose number another one was given',
      (rows) => rows.toSpliced(1, 1).map((row, index) => ({ ...row, seq: index + 1 })),
      { seq: 2, what: 'changed' },
    ],
  ]
  for (const [what, tamper, broken] of tamperings) {
    it(`finds ${what}`, () => {
      expect(verifyChain(tamper(chainOf(5)))).toEqual(broken)
    })
  }
})

describe('a place that is kept elsewhere', () => {
  const place = { seq: 1203, hash: 'a1'.repeat(32) }

  it('is read as it was told, spaces and capitals aside', () => {
    expect(readPlace(placeText(place))).toEqual(place)
    expect(readPlace(` ${placeText(place).toUpperCase()}\n`)).toEqual(place)
  })

  it.each([
    '',
    '1203',
    place.hash,
    `0:${place.hash}`,
    `1203:${place.hash}0`,
    `-1:${place.hash}`,
    `1203: ${place.hash}`,
  ])('is not %s', (text) => {
    expect(readPlace(text)).toBeUndefined()
  })
})

function rehashed(rows: AuditRow[], seq: number): AuditRow[] {
  return rows.map((row, index) => {
    if (row.seq !== seq) return row
    const changed = { ...row, outcome: 'failed' as const }
    return { ...changed, hash: chainHash(rows[index - 1]?.hash ?? CHAIN_START, changed) }
  })
}
