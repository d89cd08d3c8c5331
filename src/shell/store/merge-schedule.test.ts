import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { MergeSchedule } from './merge-schedule.ts'

/** An engine that merges a thousand rows a step. */
function playedEngine(unmerged: number) {
  const engine = {
    unmerged,
    steps: 0,
    mergeStep() {
      engine.steps += 1
      engine.unmerged = Math.max(0, engine.unmerged - 1000)
      return engine.unmerged > 0
    },
  }
  return engine
}

describe('MergeSchedule', () => {
  beforeEach(() => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] })
  })
  afterEach(() => {
    vi.useRealTimers()
  })
  const failed = (error: unknown) => {
    throw error
  }

  it('merges everything after a second without a call, not before', () => {
    const engine = playedEngine(3000)
    const schedule = new MergeSchedule(engine, failed)
    schedule.called()
    vi.advanceTimersByTime(900)
    schedule.called()
    vi.advanceTimersByTime(999)
    expect(engine.steps).toBe(0)
    vi.advanceTimersByTime(10)
    expect(engine.steps).toBe(3)
    vi.advanceTimersByTime(60_000)
    expect(engine.steps).toBe(3)
  })

  it('does not wait for quiet when very many rows are unmerged', () => {
    const engine = playedEngine(100_000)
    const schedule = new MergeSchedule(engine, failed)
    schedule.called()
    vi.advanceTimersByTime(1)
    expect(engine.steps).toBeGreaterThan(0)
  })

  it('does nothing when there is nothing to merge, or after it was stopped', () => {
    const empty = playedEngine(0)
    new MergeSchedule(empty, failed).called()
    const stopped = playedEngine(3000)
    const schedule = new MergeSchedule(stopped, failed)
    schedule.called()
    schedule.stop()
    schedule.called()
    vi.advanceTimersByTime(60_000)
    expect([empty.steps, stopped.steps]).toEqual([0, 0])
  })

  it('tells when a step failed, and tries again after the next call', () => {
    const errors: unknown[] = []
    const engine = playedEngine(1000)
    const merge = engine.mergeStep
    engine.mergeStep = () => {
      throw new Error('the disk is full')
    }
    const schedule = new MergeSchedule(engine, (error) => errors.push(error))
    schedule.called()
    vi.advanceTimersByTime(5000)
    expect(errors).toMatchObject([{ message: 'the disk is full' }])
    engine.mergeStep = merge
    schedule.called()
    vi.advanceTimersByTime(5000)
    expect([engine.steps, errors.length]).toEqual([1, 1])
  })
})
