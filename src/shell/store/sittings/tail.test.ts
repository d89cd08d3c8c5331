import { describe, expect, it } from 'vitest'
import { Tail } from './tail.ts'

const ROWS = 5000

function filled(): Tail {
  const tail = new Tail()
  for (let seq = 1; seq <= ROWS; seq += 1) {
    // every seventh id key is shared by all of its kind; keys differ in their low bits only now and then
    const idKey = seq % 7 === 0 ? 42 : seq * 2 ** 33 + 5
    tail.add({ seq, idKey, uuidKey: seq * 2 ** 34, subjectKey: seq % 100 })
  }
  return tail
}

describe('Tail', () => {
  it('finds a row by each of its keys, through growth and meeting keys', () => {
    const tail = filled()
    expect(tail.size).toBe(ROWS)
    for (const seq of [1, 1024, 1025, 4999]) {
      expect(tail.byId(seq * 2 ** 33 + 5)).toEqual([seq])
      expect(tail.byUuid(seq * 2 ** 34)).toEqual([seq])
    }
  })

  it('gives every row of a key that several share, oldest first', () => {
    const tail = filled()
    const shared = Array.from({ length: Math.floor(ROWS / 7) }, (_, index) => (index + 1) * 7)
    expect([...tail.byId(42)].sort((one, other) => one - other)).toEqual(shared)
    expect(tail.bySubject(3)).toEqual(Array.from({ length: 50 }, (_, index) => 3 + index * 100))
  })

  it('finds nothing for a key that no row has, zero included', () => {
    const tail = new Tail()
    expect([...tail.byId(0), ...tail.byUuid(0), ...tail.bySubject(0)]).toEqual([])
    expect(filled().byId(43)).toEqual([])
    expect(filled().byUuid(0)).toEqual([])
  })

  it('forgets what comes up to a row and keeps the rest', () => {
    const rest = filled().after(4990)
    expect(rest.size).toBe(10)
    expect(rest.byUuid(4990 * 2 ** 34)).toEqual([])
    expect(rest.byUuid(4991 * 2 ** 34)).toEqual([4991])
  })
})
