import { expect, it } from 'vitest'
import { emittedResources } from '../../../tests/support/emitted-resources.ts'
import { errorsIn } from '../validation/validate-resource.ts'

it.each(emittedResources())('breaks no rule of the gateway’s own validation: %s', (_name, resource) => {
  expect(errorsIn(JSON.parse(JSON.stringify(resource)))).toEqual([])
})
