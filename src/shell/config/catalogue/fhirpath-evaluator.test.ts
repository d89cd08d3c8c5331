import { describe, expect, it, vi } from 'vitest'
import { FHIRPATH_EVALUATOR } from './fhirpath-evaluator.ts'

const COMPONENT = { code: { text: 'systolic' }, valueQuantity: { value: 131, unit: 'mmHg' } }
const OBSERVATION = {
  resourceType: 'Observation',
  status: 'final',
  issued: '2026-03-02T07:10:00Z',
  component: [COMPONENT],
}

const { evaluate } = FHIRPATH_EVALUATOR

describe('a constraint judged by the FHIRPath engine', () => {
  it.each([
    ['on the resource', "status = 'final'", OBSERVATION, 'Observation', true],
    ['that does not hold', "status = 'amended'", OBSERVATION, 'Observation', false],
    ['on an element', 'value.exists() and code.exists()', COMPONENT, 'Observation.component', true],
    [
      'of a choice by its type',
      'value is Quantity and value.value > 130',
      COMPONENT,
      'Observation.component',
      true,
    ],
    ['that looks at the resource', "%resource.status = 'final'", COMPONENT, 'Observation.component', true],
    ['on a data type', "unit = 'mmHg'", COMPONENT.valueQuantity, 'Quantity', true],
    ['on a primitive', '$this.length() > 3', 'final', 'code', true],
    ['without an answer', 'note.text.first().length() > 3', OBSERVATION, 'Observation', false],
    ['whose answer is one value that is no boolean', 'status', OBSERVATION, 'Observation', true],
  ])('%s', (_what, expression, element, path, holds) => {
    expect(evaluate(expression, OBSERVATION, element, path)).toBe(holds)
  })

  it.each([
    ['there are several answers', 'component.value | issued'],
    ['the expression is no FHIRPath', 'status = = 1'],
    ['it needs a server', "code.memberOf('http://x.example/vs')"],
    ['the engine does not know a function', 'status.sing()'],
  ])('is not judged where %s', (_what, expression) => {
    expect(evaluate(expression, OBSERVATION, OBSERVATION, 'Observation')).toBeUndefined()
  })

  it('changes nothing of the resource, and prints nothing for trace()', () => {
    const printed = vi.spyOn(console, 'log')
    const before = structuredClone(OBSERVATION)
    expect(evaluate("status.trace('seen').exists()", OBSERVATION, OBSERVATION, 'Observation')).toBe(true)
    expect(Object.getOwnPropertyNames(OBSERVATION)).toEqual(Object.getOwnPropertyNames(before))
    expect(OBSERVATION).toEqual(before)
    expect(printed).not.toHaveBeenCalled()
    printed.mockRestore()
  })

  it('is not judged on an enormous resource', () => {
    const enormous = { ...OBSERVATION, note: Array.from({ length: 20_000 }, () => ({})) }
    expect(evaluate("status = 'final'", enormous, OBSERVATION, 'Observation')).toBeUndefined()
  })

  it('is not judged after so many on one resource', () => {
    const one = { ...OBSERVATION }
    const answers = Array.from({ length: 2_001 }, () => evaluate('status.exists()', one, one, 'Observation'))
    expect(answers.indexOf(undefined)).toBe(2_000)
  })
})
