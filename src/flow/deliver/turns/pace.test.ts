import { describe, expect, it } from 'vitest'
import { Pace } from './pace.ts'

function counted(pace: Pace, times: number, eachMs: number, fromMs = 0): number {
  for (let time = 1; time <= times; time += 1) pace.count(fromMs + time * eachMs)
  return fromMs + times * eachMs
}

describe('the pace at which things are done', () => {
  it('is none before anything was', () => {
    expect(new Pace(0).within(1_000)).toBe(0)
  })

  it('tells how many are done in a time, from the first one on', () => {
    const pace = new Pace(0)
    counted(pace, 1, 20)
    expect(pace.within(100)).toBe(5)
    counted(pace, 50, 20, 20)
    expect(pace.within(100)).toBe(5)
  })

  it('follows a server that gets slower, and one that gets quicker', () => {
    const pace = new Pace(0)
    const nowMs = counted(pace, 100, 1)
    counted(pace, 200, 50, nowMs)
    expect(pace.within(100)).toBe(2)
    counted(pace, 400, 1, nowMs + 200 * 50)
    expect(pace.within(100)).toBeGreaterThan(90)
  })

  it('is not put out by one that took long', () => {
    const pace = new Pace(0)
    const nowMs = counted(pace, 100, 1)
    pace.count(nowMs + 30)
    expect(pace.within(100)).toBeGreaterThan(40)
  })
})
