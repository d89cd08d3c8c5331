import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { exampleAverage } from '../../../../tests/support/example-average.ts'
import { averageBundle } from '../../fhir/average/average-bundle.ts'
import { type SentResource, sentResources } from '../sent-resource.ts'
import { placedResource } from './placed-resource.ts'

const { report, sittings, context } = exampleAverage()
const sent = sentResources(averageBundle(report, sittings, context))
const keys = new Map(sent.map((one) => [one.uuid, one]))
const patient = { reference: 'Patient/p-1' }
const nowhere = () => undefined

function oneOf(type: SentResource['type']): SentResource {
  const found = sent.findLast((one) => one.type === type)
  if (found === undefined) throw new Error(`the average has no ${type}`)
  return found
}

describe('placedResource', () => {
  it('refers to what the server holds by the server’s own id', () => {
    const average = oneOf('Observation')
    if (average.resource.resourceType !== 'Observation') throw new Error('the average is no Observation')
    const placed = placedResource(average, (uuid) => ({ reference: `Observation/of-${uuid}` }), patient, keys)
    const from = average.resource.derivedFrom ?? []
    expect(from.length).toBeGreaterThan(1)
    expect(placed).toMatchObject({
      subject: { reference: 'Patient/p-1', type: 'Patient' },
      derivedFrom: from.map(({ reference = '' }) => ({
        reference: reference.replace('urn:uuid:', 'Observation/of-'),
      })),
    })
  })

  it('names by its identifier what the server is not known to hold', () => {
    const reading = sent.find(({ type, refersTo }) => type === 'Observation' && refersTo.length === 1)
    const [device] = sent
    if (reading === undefined || device === undefined) throw new Error('no reading of a device')
    const placed = placedResource(reading, nowhere, patient, keys)
    expect(placed).toMatchObject({
      device: { type: 'Device', identifier: { system: device.key.system, value: device.key.value } },
    })
    expect(JSON.stringify(placed)).not.toContain('urn:uuid:')
  })

  it('leaves the patient’s conditional reference where no other is given', () => {
    const provenance = oneOf('Provenance')
    expect(JSON.stringify(placedResource(provenance, nowhere, undefined, keys))).toContain(
      'Patient?identifier=',
    )
    expect(JSON.stringify(placedResource(provenance, nowhere, patient, keys))).not.toContain('Patient?')
  })

  it('names the patient by a logical reference without keeping the conditional one', () => {
    const subject = { type: 'Patient', identifier: { system: 'https://clinic.example/mrn', value: '4711' } }
    expect(placedResource(oneOf('Observation'), nowhere, subject, keys)).toMatchObject({ subject })
    expect(JSON.stringify(placedResource(oneOf('Observation'), nowhere, subject, keys))).not.toContain(
      'Patient?',
    )
  })

  it('throws rather than send a reference that leads nowhere', () => {
    expect(() => placedResource(oneOf('Provenance'), nowhere, patient, new Map())).toThrow(TypeError)
  })

  it('changes references and nothing else, and not what it was given', () => {
    const before = JSON.stringify(sent)
    fc.assert(
      fc.property(fc.constantFrom(...sent), fc.func(fc.boolean()), fc.boolean(), (one, isHeld, isFound) => {
        const placed = placedResource(
          one,
          (uuid) => (isHeld(uuid) ? { reference: `Observation/${uuid}` } : undefined),
          isFound ? patient : undefined,
          keys,
        )
        expect(withoutTargets(placed)).toEqual(withoutTargets(one.resource))
      }),
      { numRuns: 100 },
    )
    expect(JSON.stringify(sent)).toBe(before)
  })
})

/** A resource with every reference that may be placed reduced to the fact that it is one. */
function withoutTargets(resource: object): unknown {
  return JSON.parse(JSON.stringify(resource), (_, value: unknown) => {
    if (typeof value !== 'object' || value === null) return value
    const isPlaced = 'reference' in value
    const own =
      'identifier' in value && typeof value.identifier === 'object' && !Array.isArray(value.identifier)
    return isPlaced || own ? 'a reference' : value
  })
}
