import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { StageLimits } from './stage-limits.ts'

const passed: string[] = []
let stages: StageLimits

beforeEach(() => {
  vi.useFakeTimers()
  passed.length = 0
  stages = new StageLimits(1_000, (limit) => passed.push(limit))
})

afterEach(() => {
  stages.end()
  // First: what a spy gives back must not be the played clock.
  vi.restoreAllMocks()
  vi.useRealTimers()
})

describe('the time limits of an exchange', () => {
  it('pass when a stage has had its time, and not before', () => {
    stages.enter('FIRST', 300)
    vi.advanceTimersByTime(299)
    expect(passed).toEqual([])
    vi.advanceTimersByTime(1)
    expect(passed).toEqual(['FIRST'])
    vi.advanceTimersByTime(5_000)
    expect(passed).toEqual(['FIRST'])
  })

  it.each([
    ['longer', 400],
    ['as long', 300],
    ['shorter', 100],
  ])('count anew for each stage: one that may take %s', (_which, ms) => {
    stages.enter('FIRST', 300)
    vi.advanceTimersByTime(200)
    stages.enter('SECOND', ms)
    vi.advanceTimersByTime(ms - 1)
    expect(passed).toEqual([])
    vi.advanceTimersByTime(1)
    expect(passed).toEqual(['SECOND'])
  })

  it('count anew each time something is heard, but for the whole', () => {
    stages.enter('SILENCE', 300)
    for (let heard = 0; heard < 4; heard += 1) {
      vi.advanceTimersByTime(200)
      stages.again()
    }
    vi.advanceTimersByTime(199)
    expect(passed).toEqual([])
    vi.advanceTimersByTime(1)
    expect(passed).toEqual(['WHOLE_TIMEOUT'])
  })

  it('hold for the whole where a stage may take longer', () => {
    stages.enter('FIRST', 5_000)
    vi.advanceTimersByTime(1_000)
    expect(passed).toEqual(['WHOLE_TIMEOUT'])
  })

  it('are over with the exchange, also where a stage is entered late', () => {
    stages.enter('FIRST', 300)
    stages.end()
    stages.enter('SECOND', 100)
    vi.advanceTimersByTime(5_000)
    expect(passed).toEqual([])
    expect(vi.getTimerCount()).toBe(0)
  })

  it('need one timer for stages that each end in time', () => {
    const set = vi.spyOn(globalThis, 'setTimeout')
    for (const ms of [300, 600, 400, 500]) {
      stages.enter('NEXT', ms)
      vi.advanceTimersByTime(50)
    }
    expect(set).toHaveBeenCalledTimes(1)
  })
})
