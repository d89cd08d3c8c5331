import { describe, expect, it } from 'vitest'
import { homeSitting } from '../../../../tests/support/home-sitting.ts'
import type { Session } from '../session.ts'
import { DEFAULT_ATTENTION_LIMITS } from './attention-limits.ts'
import { firstCalls } from './first-calls.ts'

/** A sitting at seven in the morning of a day of 2026, from 1 for 1 March, with the pulse marked irregular or not. */
function sitting(day: number, irregular = true): Session {
  const at = new Date(Date.UTC(2026, 2, day, 7)).toISOString()
  const { session } = homeSitting({ at, readings: [[130, 80]] })
  const readings = session.readings.map((reading) => ({
    ...reading,
    monitorSays: { irregularPulse: irregular },
  }))
  return { ...session, readings }
}

function calledOn(...sessions: readonly Session[]): readonly string[] {
  return firstCalls(sessions, DEFAULT_ATTENTION_LIMITS).map(
    ({ session, code }) => `${session.takenAt.text.slice(0, 10)} ${code}`,
  )
}

describe('calls that sittings make together', () => {
  it('come with the sitting that makes them true, not with the one before', () => {
    expect(calledOn(sitting(1), sitting(5, false), sitting(6))).toEqual([
      '2026-03-06 irregular-pulse-repeated',
    ])
  })

  it('come once while the run goes on, however long it lasts', () => {
    const everyThirdDay = Array.from({ length: 20 }, (_, index) => sitting(1 + 3 * index))
    expect(calledOn(...everyThirdDay)).toEqual(['2026-03-04 irregular-pulse-repeated'])
  })

  it('come again after a quiet time that is longer than the limits look back', () => {
    expect(calledOn(sitting(1), sitting(2), sitting(17), sitting(18))).toEqual([
      '2026-03-02 irregular-pulse-repeated',
      '2026-03-18 irregular-pulse-repeated',
    ])
  })

  it('are looked for among those that are near enough, and not among all of many years', () => {
    const readsOf = (count: number) => {
      let reads = 0
      const counted = Array.from({ length: count }, (_, day): Session => {
        const { takenAt, ...session } = sitting(1 + day, false)
        return {
          ...session,
          get takenAt() {
            reads += 1
            return takenAt
          },
        }
      })
      expect(calledOn(...counted)).toEqual([])
      return reads
    }
    expect(readsOf(400)).toBeLessThan(2.2 * readsOf(200))
  })

  it('are not made by sittings that call for nothing', () => {
    expect(calledOn(sitting(1), sitting(16), sitting(40))).toEqual([])
  })
})
