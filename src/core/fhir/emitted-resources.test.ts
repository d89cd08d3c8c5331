import { expect, it } from 'vitest'
import { emittedResources } from '../../../tests/support/emitted-resources.ts'
import { errorsIn, validateResource } from '../validation/validate-resource.ts'

it.each(emittedResources())('breaks no rule of the gateway’s own validation: %s', (_name, resource) => {
  expect(errorsIn(JSON.parse(JSON.stringify(resource)))).toEqual([])
})

it.each(emittedResources())('says nothing that cannot be: %s', (_name, resource) => {
  const issues = validateResource(JSON.parse(JSON.stringify(resource)))
  expect(issues.filter(({ code }) => code === 'IMPLAUSIBLE')).toEqual([])
})
