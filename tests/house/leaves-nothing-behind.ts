import { afterAll, expect, vi } from 'vitest'

/** What a test file can bend and the next one of the same process would run into. */
const shared = () => ({
  setTimeout: globalThis.setTimeout,
  clearTimeout: globalThis.clearTimeout,
  setInterval: globalThis.setInterval,
  clearInterval: globalThis.clearInterval,
  setImmediate: globalThis.setImmediate,
  queueMicrotask: globalThis.queueMicrotask,
  nextTick: process.nextTick,
  Date: globalThis.Date,
  now: performance.now,
  fetch: globalThis.fetch,
  folder: process.cwd(),
  environment: JSON.stringify(Object.entries(process.env).sort()),
  locale: Intl.DateTimeFormat,
})

const found = shared()

// Vitest gives back what was spied on after a file, and with it perhaps what a played clock had put there.
afterAll(() => {
  vi.restoreAllMocks()
  const left = shared()
  const changed = Object.keys(found).filter(
    (name) => found[name as keyof typeof found] !== left[name as keyof typeof left],
  )
  expect(changed, 'what the process shares is as it was found').toEqual([])
})
