import { expect, it } from 'vitest'
import { recordedLog } from '../../../../tests/support/recorded-log.ts'
import { OwnFault } from '../../../flow/ports/own-fault.ts'
import { asRefusal } from './error-response.ts'

it('a fault of ours is told to the operator with its rule and place, and to the client by its incident alone', () => {
  const log = recordedLog()
  const sentence = 'the bundle of period p1 breaks ext-1 at Bundle.entry[0].resource.extension[9]'
  const refusal = asRefusal(new OwnFault(sentence), { method: 'POST' }, log)
  expect(log.lines).toMatchObject([
    { event: 'request-failed', fields: { code: 'UNEXPECTED', error: sentence } },
  ])
  expect(refusal.status).toBe(500)
  expect(JSON.stringify(refusal.issues)).not.toContain('ext-1')
})

it('of anything else that is thrown the log has the kind alone, since its message may quote anything', () => {
  const log = recordedLog()
  asRefusal(new TypeError('of HW-1001'), { method: 'POST' }, log)
  expect(log.lines).toMatchObject([{ fields: { error: 'TypeError' } }])
  expect(JSON.stringify(log.lines)).not.toContain('HW-1001')
})
