import { expect, it } from 'vitest'
import { problems } from '../../../../tests/support/spoilt-resource.ts'

const entry = (id: string, versionId?: string) => ({
  fullUrl: `https://a.example/Patient/${id}`,
  resource: { resourceType: 'Patient', id, ...(versionId === undefined ? {} : { meta: { versionId } }) },
})
const brokenBy = (...entries: readonly object[]) =>
  problems({ resourceType: 'Bundle', type: 'collection', entry: entries }).filter((one) =>
    one.includes('bdl-7'),
  )

it('a fullUrl repeats only with the same version, whatever the two are as one text', () => {
  expect(brokenBy(entry('1', '12'), entry('11', '2'))).toEqual([])
  expect(brokenBy(entry('1', '1'), entry('1', '2'))).toEqual([])
  expect(brokenBy(entry('1', '1'), entry('11', '2'), entry('1', '1'))).toEqual([
    'INVARIANT bdl-7 Bundle.entry[2].fullUrl',
  ])
  expect(brokenBy(entry('1'), entry('1'))).toEqual(['INVARIANT bdl-7 Bundle.entry[1].fullUrl'])
})
