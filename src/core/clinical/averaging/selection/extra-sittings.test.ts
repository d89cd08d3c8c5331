import { describe, expect, it } from 'vitest'
import { keepAll, selectSittings } from '../../../../../tests/support/select-sittings.ts'
import type { Protocol } from '../../protocol/protocol.ts'

const dropFirst: Protocol = { ...keepAll, leaveOut: { ...keepAll.leaveOut, firstReading: 'drop' } }

describe('two sittings in one window of one day', () => {
  it('count both, each with its own first reading', () => {
    const { used, leftOut } = selectSittings(dropFirst, [
      {
        at: '2026-03-03T07:00:00Z',
        readings: [
          [130, 80],
          [130, 80],
        ],
      },
      {
        at: '2026-03-03T09:00:00Z',
        readings: [
          [130, 80],
          [130, 80],
        ],
      },
    ])
    expect(used.map(({ reading }) => reading.ordinal)).toEqual([2, 2])
    expect(leftOut.map(({ reason }) => reason)).toEqual(['first-reading', 'first-reading'])
  })
})

describe('more than was asked for', () => {
  const strict: Protocol = {
    ...keepAll,
    leaveOut: { ...keepAll.leaveOut, extraReadings: 'leave-out', extraSittings: 'leave-out' },
  }

  it('is left out: readings beyond those of a sitting, counted by the complete ones', () => {
    const { used, leftOut } = selectSittings(strict, [
      {
        at: '2026-03-03T07:00:00Z',
        readings: [
          [130, null],
          [130, 80],
          [130, 80],
          [130, 80],
        ],
      },
    ])
    expect(used.map(({ reading }) => reading.ordinal)).toEqual([2, 3])
    expect(leftOut.map(({ placed, reason }) => [placed.reading.ordinal, reason])).toEqual([
      [1, 'pressure-missing'],
      [4, 'extra-reading'],
    ])
    expect(leftOut[1]?.text).toMatch(/^Beyond the 2 readings of a sitting that are asked for\./)
  })

  it('is left out: sittings of a window of a day after the first', () => {
    const { used, leftOut } = selectSittings(strict, [
      { at: '2026-03-03T09:00:00Z', readings: [[130, 80]] },
      { at: '2026-03-03T07:00:00Z', readings: [[130, 80]] },
      { at: '2026-03-03T19:00:00Z', readings: [[130, 80]] },
      { at: '2026-03-04T09:00:00Z', readings: [[130, 80]] },
    ])
    expect(used).toHaveLength(3)
    expect(leftOut.map(({ placed, reason }) => [placed.session.id, reason])).toEqual([
      ['2026-03-03T09:00:00Z', 'extra-sitting'],
    ])
    expect(leftOut[0]?.text).toMatch(/counts the first sitting of each/)
  })

  it('does not count a sitting that runs past noon against the evening', () => {
    const { used } = selectSittings(strict, [
      {
        at: '2026-03-03T11:59:30Z',
        readings: [
          [130, 80],
          [130, 80],
        ],
      },
      { at: '2026-03-03T19:00:00Z', readings: [[130, 80]] },
    ])
    expect(used).toHaveLength(3)
  })

  it('leaves the window to a later sitting when no reading of the first could count', () => {
    const { used } = selectSittings(strict, [
      { at: '2026-03-03T07:00:00Z', readings: [[130, null]] },
      { at: '2026-03-03T09:00:00Z', readings: [[130, 80]] },
    ])
    expect(used.map(({ session }) => session.id)).toEqual(['2026-03-03T09:00:00Z'])
  })

  it('goes before the first reading, so "three, the first left out" leaves two', () => {
    const three: Protocol = {
      ...strict,
      readingsPerSitting: { least: 3, asked: 3 },
      leaveOut: { ...strict.leaveOut, firstReading: 'drop' },
    }
    const { leftOut, used } = selectSittings(three, [
      {
        at: '2026-03-03T07:00:00Z',
        readings: [
          [130, 80],
          [130, 80],
          [130, 80],
          [130, 80],
        ],
      },
    ])
    expect(used.map(({ reading }) => reading.ordinal)).toEqual([2, 3])
    expect(leftOut.map(({ reason }) => reason)).toEqual(['first-reading', 'extra-reading'])
  })
})
