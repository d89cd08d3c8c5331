import { describe, expect, it } from 'vitest'
import { homeSitting, type SittingParts } from '../../../../tests/support/home-sitting.ts'
import type { CheckedSession } from '../averaging/period-average.ts'
import { sittingsOnce } from './sittings-once.ts'

function through(source: string, receivedMs: number, said: Partial<SittingParts> = {}): CheckedSession {
  const sitting = homeSitting({ at: '2026-03-03T07:00:00Z', id: source, readings: [[130, 80, 60]], ...said })
  return { ...sitting, source, receivedMs }
}

function irregular({ session, ...rest }: CheckedSession): CheckedSession {
  const readings = session.readings.map((reading) => ({ ...reading, monitorSays: { irregularPulse: true } }))
  return { ...rest, session: { ...session, readings } }
}

const idsOf = (sittings: readonly CheckedSession[]) => sittings.map(({ session }) => session.id)

describe('a sitting that came through two sources', () => {
  const app = through('app', 1)
  const monitor = through('monitor', 2, { at: '2026-03-03T07:00:20Z' })

  it('is there once: as received first', () => {
    expect(idsOf(sittingsOnce([app, monitor]))).toEqual(['app'])
    expect(idsOf(sittingsOnce([monitor, app]))).toEqual(['app'])
  })

  it('is there with an irregular pulse or a position, if one of the two says so', () => {
    expect(idsOf(sittingsOnce([app, irregular(monitor)]))).toEqual(['monitor'])
    expect(idsOf(sittingsOnce([through('app', 1, { position: 'not-stated' }), monitor]))).toEqual(['monitor'])
  })

  it('is there as the one that is looked at by itself', () => {
    expect(idsOf(sittingsOnce([irregular(app), monitor], (one) => one === monitor))).toEqual(['monitor'])
  })

  it('is two while one of the two has a reading more', () => {
    const more = through('monitor', 2, {
      readings: [
        [130, 80, 60],
        [126, 78, 61],
      ],
    })
    expect(idsOf(sittingsOnce([app, more]))).toEqual(['app', 'monitor'])
    expect(idsOf(sittingsOnce([{ ...app, receivedMs: 3 }, more]))).toEqual(['monitor'])
  })

  it('is not looked for among the sittings of one source', () => {
    const again = { ...app, session: { ...app.session, id: 'again' } }
    const sittings = [app, again]
    expect(sittingsOnce(sittings)).toBe(sittings)
  })

  it('is not looked for among the sittings of one source, which may be those of years', () => {
    const unread = {
      get session(): CheckedSession['session'] {
        throw new Error('a sitting was read')
      },
      findings: [],
    }
    const named = { ...through('app', 1), source: 'app' }
    expect(sittingsOnce([unread, unread])).toHaveLength(2)
    expect(sittingsOnce([named, named])).toHaveLength(2)
    expect(sittingsOnce([])).toEqual([])
  })
})
