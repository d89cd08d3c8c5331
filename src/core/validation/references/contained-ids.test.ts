import { expect, it } from 'vitest'
import { problems } from '../../../../tests/support/spoilt-resource.ts'
import { validReading } from '../../../../tests/support/valid-resources.ts'

const device = (id: string) => ({ resourceType: 'Device', id, patient: { reference: '#' } })
const containing = (...ids: string[]) => ({ ...validReading(), contained: ids.map(device) })

it('ids of contained resources are told apart, and each repetition is reported', () => {
  expect(problems(containing('a', 'b'))).toEqual([])
  expect(problems(containing('a', 'b', 'a', 'a'))).toEqual([
    'REFERENCE contained-id Observation.contained[2].id',
    'REFERENCE contained-id Observation.contained[3].id',
  ])
})

it('two entries may use one id, each in itself', () => {
  const entry = [0, 1].map((i) => ({
    fullUrl: `https://a.example/${i}`,
    resource: { ...containing('a'), id: undefined },
  }))
  expect(problems({ resourceType: 'Bundle', type: 'collection', entry })).toEqual([])
})

it('a resource that is changed in place and judged again is judged as it is then', () => {
  const first = { ...device('d') }
  const resource = { ...validReading(), contained: [first], device: { reference: '#d' } }
  expect(problems(resource)).toEqual([])
  first.id = 'e'
  expect(problems(resource)).toEqual(['INVARIANT ref-1 Observation.device'])
  resource.device.reference = '#e'
  expect(problems(resource)).toEqual([])
})
