import { describe, expect, it } from 'vitest'
import { heard, outcome, responses } from '../../../../tests/support/heard.ts'
import { errorsIn } from '../../validation/validate-resource.ts'
import { probeRequest, readProbe } from './probe.ts'

describe('probeRequest', () => {
  it('is a valid transaction that only reads', () => {
    const { method, path, body = '' } = probeRequest()
    expect([method, path]).toEqual(['POST', ''])
    const bundle = JSON.parse(body)
    expect(errorsIn(bundle)).toEqual([])
    expect(bundle.type).toBe('transaction')
    for (const entry of bundle.entry) {
      expect(entry).not.toHaveProperty('resource')
      expect(entry.request.method).toBe('GET')
    }
  })
})

describe('readProbe', () => {
  it.each([
    ['it failed as a whole over what is not there', heard(404, outcome('not-found')), 'atomic'],
    ['it failed as a whole, by another status', heard(400, outcome('not-found')), 'atomic'],
    ['it answered each entry by itself', heard(200, responses('200 OK', '404 Not Found')), 'not-atomic'],
    [
      'it answered as a batch',
      heard(200, { ...responses('200', '410'), type: 'batch-response' }),
      'not-atomic',
    ],
    ['nothing is at the base', heard(404), 'refused'],
    ['a page is at the base', heard(404, '<html></html>'), 'refused'],
    ['it allows no such method', heard(405), 'refused'],
    ['it has no transactions', heard(501), 'refused'],
    ['it says that they are not supported', heard(400, outcome('not-supported')), 'refused'],
    ['it says so with 404', heard(404, outcome('not-supported')), 'refused'],
    ['it complains of something else', heard(400, outcome('invalid')), 'not-asked'],
    ['it found what cannot be there', heard(200, responses('200', '200')), 'not-asked'],
    ['it is busy', heard(503), 'not-asked'],
    ['it failed', heard(500, outcome('exception')), 'not-asked'],
    ['it wants a login', heard(401), 'not-asked'],
    ['a page came', heard(200, '<html></html>'), 'not-asked'],
    ['nobody answered', { kind: 'unheard', problem: 'CLINIC_UNREACHABLE' }, 'not-asked'],
    ['it never left', { kind: 'unsent', problem: 'CLINIC_UNREACHABLE' }, 'not-asked'],
  ] as const)('where %s', (_, answer, probed) => {
    expect(readProbe(answer)).toBe(probed)
  })
})
