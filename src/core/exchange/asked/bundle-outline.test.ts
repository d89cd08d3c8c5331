import type { Bundle } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { exampleAverage } from '../../../../tests/support/example-average.ts'
import { EXAMPLE_RECORD, exampleContext, laterRecord } from '../../../../tests/support/example-context.ts'
import { exampleReading, exampleSession } from '../../../../tests/support/example-session.ts'
import { writeJson } from '../../basics/write-json.ts'
import { NO_FINDINGS } from '../../clinical/finding.ts'
import { averageBundle } from '../../fhir/average/average-bundle.ts'
import { sessionBundle } from '../../fhir/session/session-bundle.ts'
import { sentResources } from '../sent-resource.ts'
import { outlineOf, outlineOfText } from './bundle-outline.ts'

const device = { manufacturer: 'Invented Instruments', model: 'Home 1', serial: 'A-1' }
/** What would be taken for the start of an entry, were it not inside a text. */
const NOTE =
  'I wrote {"fullUrl":"urn:uuid:x","resource":{"resourceType":"Device"} and "request":{"method":"PUT" {'

function sessionTransaction(note: string): Bundle {
  return sessionBundle(exampleSession({ device, note }), NO_FINDINGS, exampleContext(), EXAMPLE_RECORD)
}

function correctedTransaction(): Bundle {
  const now = exampleSession({ device, readings: [exampleReading()] })
  return sessionBundle(now, NO_FINDINGS, exampleContext(), laterRecord([exampleSession({ device })]))
}

function averageTransaction(): Bundle {
  const { report, sittings, context } = exampleAverage()
  return averageBundle(report, sittings, { ...context, revision: 2 })
}

const bundles: readonly (readonly [string, Bundle])[] = [
  ['a session', sessionTransaction('After coffee.')],
  ['a session whose note looks like an entry', sessionTransaction(NOTE)],
  ['a corrected session', correctedTransaction()],
  ['an amended average', averageTransaction()],
]

describe.each(bundles)('the outline of %s', (_, bundle) => {
  it('has the entries in their order, each with its type and what it asks for', () => {
    const byUuid = new Map(sentResources(bundle).map((sent) => [`urn:uuid:${sent.uuid}`, sent]))
    expect(outlineOf(bundle)).toEqual(
      bundle.entry?.map(({ fullUrl = '' }) => {
        const { type, intent } = byUuid.get(fullUrl) ?? {}
        return { fullUrl, type, intent }
      }),
    )
  })

  it('is the same from the text', () => {
    expect(outlineOfText(writeJson(bundle))).toEqual(outlineOf(bundle))
  })
})

describe('a bundle that is not written as ours are', () => {
  const [first, ...rest] = sessionTransaction('After coffee.').entry ?? []
  const withFirst = (entry: object) => JSON.stringify({ resourceType: 'Bundle', entry: [entry, ...rest] })

  it.each([
    ['has its members in another order', withFirst({ ...first, resource: { id: 'x', ...first?.resource } })],
    ['has an entry without a request', withFirst({ ...first, request: undefined })],
    ['asks for something else', withFirst({ ...first, request: { method: 'DELETE', url: 'Device/x' } })],
    ['is written with blanks', JSON.stringify({ resourceType: 'Bundle', entry: [first] }, null, 2)],
    ['is empty', '{"resourceType":"Bundle"}'],
  ])('has no outline from its text when it %s', (_, text) => {
    expect(outlineOfText(text)).toBeUndefined()
  })

  it('is refused when an entry is no resource that we send', () => {
    const { fullUrl: _, ...nameless } = first ?? {}
    expect(() => outlineOf({ resourceType: 'Bundle', type: 'transaction', entry: [nameless] })).toThrow(
      TypeError,
    )
  })
})
