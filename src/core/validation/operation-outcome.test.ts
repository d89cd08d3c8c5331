import { describe, expect, it } from 'vitest'
import type { Issue } from '../basics/issue.ts'
import { operationOutcome } from './operation-outcome.ts'
import { validateResource } from './validate-resource.ts'

const ISSUE: Issue = {
  severity: 'error',
  type: 'required',
  code: 'PROFILE',
  at: 'Observation.subject',
  expected: 'the patient it is about',
  remedy: 'Add the subject.',
  rule: 'vitalsigns',
}

describe('an OperationOutcome', () => {
  it('says of an issue where it is, what was expected, what to do, and our code', () => {
    expect(operationOutcome([ISSUE])).toEqual({
      resourceType: 'OperationOutcome',
      issue: [
        {
          severity: 'error',
          code: 'required',
          details: {
            coding: [
              {
                system: 'https://home-bp-gateway.example/fhir/CodeSystem/error-codes',
                code: 'PROFILE',
                display: 'A profile rule does not hold.',
              },
            ],
            text: 'Expected the patient it is about. Add the subject. Rule: vitalsigns.',
          },
          expression: ['Observation.subject'],
        },
      ],
    })
  })

  it('names the code system under the base a deployment has, and the line when the input has lines', () => {
    const [issue] = operationOutcome([{ ...ISSUE, line: 7 }], 'https://a.example').issue
    expect(issue?.details?.coding?.[0]?.system).toBe('https://a.example/CodeSystem/error-codes')
    expect(issue?.details?.text).toMatch(/Line: 7\.$/)
  })

  it('tells a place that is in no resource in words, as it is no FHIRPath', () => {
    const [issue] = operationOutcome([{ ...ISSUE, at: 'line 15, column 11' }]).issue
    expect(issue).not.toHaveProperty('expression')
    expect(issue?.details?.text).toContain('(line 15, column 11)')
  })

  it('leaves the expression out when the issue is about the whole', () => {
    const [issue] = operationOutcome([{ ...ISSUE, at: '' }]).issue
    expect(issue).not.toHaveProperty('expression')
  })

  it('says that nothing was found, because R4 asks for at least one issue', () => {
    expect(operationOutcome([]).issue).toMatchObject([{ severity: 'information', code: 'informational' }])
  })

  it('is itself a resource without an issue that blocks', () => {
    for (const outcome of [
      operationOutcome([]),
      operationOutcome([ISSUE]),
      operationOutcome(validateResource({})),
    ]) {
      expect(validateResource(outcome).map(({ rule }) => rule)).toEqual(['dom-6'])
    }
  })
})
