import { afterEach, beforeEach, expect, it, vi } from 'vitest'
import { recordedLog } from '../../../tests/support/recorded-log.ts'
import { restingDestinations } from './resting-destinations.ts'

const RULE = { failuresBeforeRest: 2, restMs: 30_000, longestRestMs: 600_000 }
const failing = async () => ({ ok: false })

beforeEach(() => void vi.useFakeTimers({ now: Date.parse('2027-03-10T12:00:00Z') }))
afterEach(() => void vi.useRealTimers())

it('a destination that rests is asked again when the clock is set back farther than any rest lasts', async () => {
  const log = recordedLog()
  const resting = restingDestinations<{ ok: boolean }>(RULE, ({ ok }) => !ok, log)
  for (let failures = 0; failures < RULE.failuresBeforeRest; failures += 1) {
    await resting.unlessResting('clinic', failing)
  }
  expect(resting.names()).toEqual(['clinic'])
  vi.setSystemTime(Date.parse('2026-03-10T12:00:00Z'))
  expect(resting.names()).toEqual([])
  expect(resting.restOf('clinic')).toBeUndefined()
  expect(await resting.unlessResting('clinic', async () => ({ ok: true }))).toEqual({ ok: true })
})
