import { expect, it } from 'vitest'
import { outboxEntry } from '../../../tests/support/outbox-entry.ts'
import { OUTBOX_STATES } from './entry.ts'
import { staysHead } from './stays-head.ts'

it('keeps an entry of which nobody heard before urgent ones, while it waits for its first few retries', () => {
  const unheard = outboxEntry('waiting', { uncertain: true, attempts: 2 })
  expect(staysHead(unheard)).toBe(true)
  expect(staysHead({ ...unheard, attempts: 3 })).toBe(false)
  expect(staysHead({ ...unheard, uncertain: false })).toBe(false)
  expect(OUTBOX_STATES.filter((state) => staysHead({ ...unheard, state }))).toEqual(['waiting'])
})
