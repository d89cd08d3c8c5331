import { afterEach, beforeEach, expect, it, vi } from 'vitest'
import { SettingsRefused, StoreFailed } from '../../core/basics/gateway-error.ts'
import { startSchedule } from './start-schedule.ts'

const log = { info: vi.fn(), warn: vi.fn(), error: vi.fn() }
const never = { cron: '0 0 1 1 *', run: async () => undefined }
const idle = { followArrivals: never, closeDuePeriods: never, deliverOutbox: never, forgetAnswers: never }

beforeEach(() => {
  vi.useFakeTimers({ now: Date.parse('2026-03-02T06:00:00.500Z') })
})
afterEach(() => {
  vi.useRealTimers()
  vi.clearAllMocks()
})

it('runs each job by its own expression', async () => {
  const closeDuePeriods = vi.fn(async () => undefined)
  const deliverOutbox = vi.fn(async () => undefined)
  const schedule = startSchedule(
    {
      followArrivals: never,
      closeDuePeriods: { cron: '* * * * *', run: closeDuePeriods },
      deliverOutbox: { cron: '*/5 * * * * *', run: deliverOutbox },
      forgetAnswers: never,
    },
    log,
  )
  await vi.advanceTimersByTimeAsync(60_000)
  expect(closeDuePeriods).toHaveBeenCalledTimes(1)
  expect(deliverOutbox).toHaveBeenCalledTimes(12)
  await schedule.stop()
})

it('reads expressions in UTC, where no hour is skipped', async () => {
  vi.setSystemTime(Date.parse('2026-03-29T00:59:00Z'))
  const run = vi.fn(async () => undefined)
  const schedule = startSchedule({ ...idle, closeDuePeriods: { cron: '30 1 * * *', run } }, log)
  await vi.advanceTimersByTimeAsync(30 * 60_000)
  expect(run).not.toHaveBeenCalled()
  await vi.advanceTimersByTimeAsync(2 * 60_000)
  expect(run).toHaveBeenCalledTimes(1)
  await schedule.stop()
})

it('leaves out a round while the last one is still at work', async () => {
  let finish = () => {}
  const run = vi.fn(() => new Promise<void>((resolve) => (finish = resolve)))
  const schedule = startSchedule({ ...idle, deliverOutbox: { cron: '* * * * * *', run } }, log)
  await vi.advanceTimersByTimeAsync(5000)
  expect(run).toHaveBeenCalledTimes(1)
  finish()
  await vi.advanceTimersByTimeAsync(1000)
  expect(run).toHaveBeenCalledTimes(2)
  finish()
  await schedule.stop()
})

it('reports a failed round by code and goes on', async () => {
  const run = vi.fn(async () => {
    throw new StoreFailed('disk full: canary 141/88')
  })
  const schedule = startSchedule({ ...idle, deliverOutbox: { cron: '* * * * * *', run } }, log)
  await vi.advanceTimersByTimeAsync(2000)
  expect(run).toHaveBeenCalledTimes(2)
  expect(log.error).toHaveBeenCalledWith('scheduled-job-failed', {
    job: 'deliverOutbox',
    code: 'STORE_FAILED',
    error: 'StoreFailed',
  })
  await schedule.stop()
})

it('stops when the running round is done, and starts none after', async () => {
  let finish = () => {}
  const run = vi.fn(() => new Promise<void>((resolve) => (finish = resolve)))
  const schedule = startSchedule({ ...idle, deliverOutbox: { cron: '* * * * * *', run } }, log)
  await vi.advanceTimersByTimeAsync(1000)
  let stopped = false
  const stop = schedule.stop().then(() => {
    stopped = true
  })
  await vi.advanceTimersByTimeAsync(3000)
  expect(stopped).toBe(false)
  finish()
  await stop
  await vi.advanceTimersByTimeAsync(3000)
  expect(run).toHaveBeenCalledTimes(1)
})

it('tells the running round that it is to stop', async () => {
  const told: boolean[] = []
  const run = async (stopping: AbortSignal) => {
    told.push(stopping.aborted)
    if (!stopping.aborted) await new Promise((resolve) => stopping.addEventListener('abort', resolve))
    told.push(stopping.aborted)
  }
  const schedule = startSchedule({ ...idle, deliverOutbox: { cron: '* * * * * *', run } }, log)
  await vi.advanceTimersByTimeAsync(1000)
  await schedule.stop()
  expect(told).toEqual([false, true])
})

it('refuses an expression it cannot read, naming its place, and starts nothing', () => {
  const jobs = { ...idle, deliverOutbox: { cron: 'every minute', run: async () => undefined } }
  expect(() => startSchedule(jobs, log)).toThrow(SettingsRefused)
  expect(() => startSchedule(jobs, log)).toThrow(/schedule\.deliverOutbox/)
  expect(vi.getTimerCount()).toBe(0)
})
