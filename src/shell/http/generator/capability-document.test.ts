import { expect, it } from 'vitest'
import { profileFiles, profileJson } from '../../../../tests/support/shipped-profiles.ts'
import { capabilityDocument } from './capability-document.ts'

it('is what ships: one statement, of what is sent and what is served', () => {
  expect(profileFiles('capability-statements')).toEqual(['home-bp-gateway.json'])
  const made = capabilityDocument()
  expect(profileJson('capability-statements/home-bp-gateway.json')).toEqual(JSON.parse(JSON.stringify(made)))
  expect(made.rest?.map(({ mode }) => mode)).toEqual(['client', 'server'])
})
