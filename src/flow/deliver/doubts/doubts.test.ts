import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type OpenFlows, openFlows } from '../../../../tests/support/open-flows.ts'
import type { CourseResult } from '../errand/course.ts'
import { Doubts } from './doubts.ts'

const patient = { system: 'urn:example:patients', value: 'P-1' }
const rendered = { outline: [], patient }
const first = { id: 1, destination: 'clinic' }
const second = { id: 2, destination: 'clinic' }

const ledger = (isInDoubt: boolean) => ({
  isInDoubt,
  load: () => Promise.resolve(),
  get: () => undefined,
})

let flows: OpenFlows
beforeEach(async () => {
  flows = await openFlows()
})
afterEach(() => flows.close())

/** Why another entry of the same patient has to wait, once the first one came to this. */
async function waitAfter(result: CourseResult | undefined, isInDoubt = false): Promise<string | undefined> {
  const doubts = new Doubts(flows.ports)
  doubts.ended(first, rendered, result, ledger(isInDoubt))
  return (await doubts.waitFor(second, rendered, ledger(false)))?.problem
}

describe('another entry of the same patient', () => {
  it.each<{ what: string; result: CourseResult | undefined }>([
    { what: 'nobody heard of', result: { kind: 'unknown', problem: 'CLINIC_UNREACHABLE' } },
    { what: 'was left to a person in doubt', result: { kind: 'park', problem: 'OUTCOME_UNKNOWN' } },
    { what: 'was broken off', result: undefined },
  ])('waits for one that $what', async ({ result }) => {
    expect(await waitAfter(result)).toBe('PATIENT_IN_DOUBT')
  })

  it.each<{ what: string; result: CourseResult }>([
    { what: 'arrived', result: { kind: 'done', created: 1, alreadyThere: 0, updated: 0 } },
    { what: 'was refused', result: { kind: 'refused', problem: 'CLINIC_REFUSED' } },
    { what: 'was put off', result: { kind: 'not-now', problem: 'CLINIC_BUSY' } },
    {
      what: 'was left to a person for want of an update',
      result: { kind: 'park', problem: 'CLINIC_CANNOT_UPDATE' },
    },
  ])('does not wait for one that $what', async ({ result }) => {
    expect(await waitAfter(result)).toBeUndefined()
  })

  it('waits for one that was put off with something of it in doubt', async () => {
    expect(await waitAfter({ kind: 'not-now', problem: 'CLINIC_BUSY' }, true)).toBe('PATIENT_IN_DOUBT')
  })
})
