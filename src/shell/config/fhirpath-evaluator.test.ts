import { describe, expect, it } from 'vitest'
import { fhirpathEvaluator } from './fhirpath-evaluator.ts'

const COMPONENT = { code: { text: 'systolic' }, valueQuantity: { value: 131, unit: 'mmHg' } }
const OBSERVATION = {
  resourceType: 'Observation',
  status: 'final',
  issued: '2026-03-02T07:10:00Z',
  component: [COMPONENT],
}

const { evaluate } = fhirpathEvaluator()

describe('evaluating a constraint by FHIRPath', () => {
  it.each([
    ['on the resource', "status = 'final'", OBSERVATION, 'Observation', true],
    ['that does not hold', "status = 'amended'", OBSERVATION, 'Observation', false],
    ['on an element', 'value.exists() and code.exists()', COMPONENT, 'Observation.component', true],
    [
      'of a choice by its type',
      'value.ofType(Quantity).value > 130',
      COMPONENT,
      'Observation.component',
      true,
    ],
    ['that looks at the resource', "%resource.status = 'final'", COMPONENT, 'Observation.component', true],
    ['on a data type', "unit = 'mmHg'", COMPONENT.valueQuantity, 'Quantity', true],
    ['on a primitive', '$this.length() > 3', 'final', 'code', true],
    ['without an answer', 'note.text.first().length() > 3', OBSERVATION, 'Observation', false],
    ['whose answer is no boolean', 'status', OBSERVATION, 'Observation', undefined],
    ['with several answers', 'component.valueQuantity | issued', OBSERVATION, 'Observation', undefined],
    ['that is no FHIRPath', 'status = = 1', OBSERVATION, 'Observation', undefined],
    [
      'that needs a server',
      "code.memberOf('http://x.example/vs')",
      COMPONENT,
      'Observation.component',
      undefined,
    ],
    ['that the engine does not know', 'status.sing()', OBSERVATION, 'Observation', undefined],
  ])('%s', (_what, expression, element, path, holds) => {
    expect(evaluate(expression, OBSERVATION, element, path)).toBe(holds)
  })

  it('changes nothing of the resource, and prints nothing for trace()', () => {
    const before = structuredClone(OBSERVATION)
    expect(evaluate("status.trace('seen').exists()", OBSERVATION, OBSERVATION, 'Observation')).toBe(true)
    expect(OBSERVATION).toEqual(before)
    expect(Object.getOwnPropertyNames(OBSERVATION)).toEqual(Object.getOwnPropertyNames(before))
  })

  it('leaves a resource alone that would take too long', () => {
    const component = Array.from({ length: 60_000 }, () => COMPONENT)
    expect(evaluate("status = 'final'", { ...OBSERVATION, component }, OBSERVATION, 'Observation')).toBe(
      undefined,
    )
  })

  it('stops after so many evaluations on one resource', () => {
    const one = { ...OBSERVATION }
    const answers = Array.from({ length: 2_001 }, () => evaluate('status.exists()', one, one, 'Observation'))
    expect(answers.indexOf(undefined)).toBe(2_000)
  })
})
