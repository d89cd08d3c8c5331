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

/** Each with its reason in the documents for developers, under “What ours are remarked on”. */
const REMARKS = ['warning dom-6', 'warning vitalsigns', 'information profile']

it.each(emittedResources())('is remarked on for nothing that was not weighed: %s', (_name, resource) => {
  const issues = validateResource(JSON.parse(JSON.stringify(resource)))
  const others = issues
    .map(({ severity, rule }) => `${severity} ${rule}`)
    .filter((one) => !REMARKS.includes(one))
  expect(others).toEqual([])
})
