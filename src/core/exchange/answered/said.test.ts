import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { outcome, responses } from '../../../../tests/support/heard.ts'
import { SAID_CHARACTERS } from '../../outbox/entry.ts'
import { saidOf } from './said.ts'

describe('what is kept of an answer', () => {
  it('is an OperationOutcome as it came, whatever media type it was sent under', () => {
    const text = JSON.stringify(outcome('invalid', { diagnostics: 'Value 120 is not allowed' }))
    for (const type of [
      'application/fhir+json; charset=utf-8',
      'application/problem+json',
      'text/html',
      undefined,
    ]) {
      expect(saidOf(422, type, text)).toEqual({ status: 422, text })
    }
  })

  it('is no longer than is kept', () => {
    const text = JSON.stringify(outcome('invalid', { diagnostics: 'x'.repeat(2 * SAID_CHARACTERS) }))
    expect(saidOf(400, 'application/json', text).text).toBe(text.slice(0, SAID_CHARACTERS))
  })

  it('is of the responses to a transaction those that failed, and no resource', () => {
    const failed = { status: '422', outcome: outcome('business-rule'), location: 'Observation/1' }
    const body: { entry?: readonly object[] } = responses('201 Created', failed)
    const entry = body.entry?.map((one) => ({
      ...one,
      resource: { resourceType: 'Patient', name: 'not kept' },
    }))
    const said = saidOf(200, 'application/fhir+json', JSON.stringify({ ...body, entry }))
    expect(JSON.parse(said.text ?? '')).toEqual({
      resourceType: 'Bundle',
      type: 'transaction-response',
      entry: [{ response: { status: '422', outcome: outcome('business-rule') } }],
    })
  })

  it('is nothing of any other resource', () => {
    const patient = { resourceType: 'Patient', name: [{ family: 'not kept' }] }
    const searchset = { resourceType: 'Bundle', type: 'searchset', entry: [{ resource: patient }] }
    for (const resource of [patient, searchset, responses('201')]) {
      expect(saidOf(200, 'application/fhir+json', JSON.stringify(resource))).toEqual({
        status: 200,
        text: 'application/fhir+json: a FHIR resource',
      })
    }
  })

  it('is of a page its media type and words, numbers masked', () => {
    const page =
      '<!doctype html><html><head><title>502</title><style>p { margin: 1px }</style><script>var a = 1</script></head>\n' +
      '<body><p class="x">Bad gateway at 10.1.2.3,\u0007 patient ４７１１ </p></body></html>'
    expect(saidOf(502, 'Text/HTML; charset=utf-8', page)).toEqual({
      status: 502,
      text: 'text/html: # Bad gateway at #.#.#.#, patient #',
    })
  })

  it('is at most 200 characters of a text', () => {
    expect(saidOf(500, 'text/plain', 'word '.repeat(100)).text).toBe(`text/plain: ${'word '.repeat(40)}`)
  })

  it('is the status alone when nothing was said', () => {
    expect(saidOf(503, 'text/html', '')).toEqual({ status: 503 })
    expect(saidOf(503, undefined, ' \n')).toEqual({ status: 503 })
  })

  it('quotes no media type that is none', () => {
    expect(saidOf(500, 'text/html"><script>', 'x')).toEqual({ status: 500, text: 'no media type: x' })
    expect(saidOf(500, undefined, '<p></p>')).toEqual({ status: 500, text: 'no media type' })
  })

  it('never holds a digit of what is no FHIR, nor more than is kept, and never throws', () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.string({ unit: 'binary' }), fc.json(), fc.constant('<'.repeat(5000))),
        (text) => {
          const said = saidOf(500, 'text/plain', text).text ?? ''
          expect(said).not.toMatch(/\p{Number}/u)
          expect(said.length).toBeLessThanOrEqual('text/plain: '.length + 200)
        },
      ),
      { numRuns: 300 },
    )
  })
})
