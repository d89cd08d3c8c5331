import { type JsonObject, objectsOf } from '../../basics/json-object.ts'
import type { ElementRule } from '../elements/element-rule.ts'
import { exists } from '../exists.ts'
import { invariant } from './invariant.ts'
import { hasChoice, hasPrimitive } from './presence.ts'
import { repeatedTexts } from './repeated-texts.ts'

/**
 * Source: FHIR R4 4.0.1, constraints of ElementDefinition. There is no eld-9, eld-10; eld-11 is not here, because its
 * published expression holds for every element that has a type.
 */
export const elementDefinitionInvariants: readonly ElementRule[] = [
  invariant(
    'eld-2',
    'ElementDefinition',
    'a minimum that is not above the maximum',
    'Correct one of the two.',
    ({ min, max }) =>
      typeof min !== 'number' || typeof max !== 'string' || !WHOLE.test(max) || min <= Number(max),
  ),
  {
    ...invariant(
      'eld-3',
      'ElementDefinition',
      'a whole number of zero or more, or *',
      'Correct the maximum.',
      ({ max }) => typeof max !== 'string' || max === '*' || WHOLE.test(max),
    ),
    child: 'max',
  },
  invariant(
    'eld-5',
    'ElementDefinition',
    'nothing about type, value or binding beside a content reference',
    'Remove it: the element referred to says so.',
    (element) => !hasPrimitive(element, 'contentReference') || !saysOwnContent(element),
  ),
  invariant(
    'eld-6',
    'ElementDefinition',
    'one type at most beside a fixed value',
    'Name the one type.',
    (element) => !hasChoice(element, 'fixed') || objectsOf(element.type).length <= 1,
  ),
  invariant(
    'eld-7',
    'ElementDefinition',
    'one type at most beside a pattern',
    'Name the one type.',
    (element) => !hasChoice(element, 'pattern') || objectsOf(element.type).length <= 1,
  ),
  invariant(
    'eld-8',
    'ElementDefinition',
    'a fixed value or a pattern, not both',
    'Keep one of the two.',
    (element) => !hasChoice(element, 'pattern') || !hasChoice(element, 'fixed'),
  ),
  {
    ...invariant(
      'eld-13',
      'ElementDefinition',
      'each type once',
      'Join the two.',
      ({ type }) => repeatedTexts(objectsOf(type).map(({ code }) => code)).length === 0,
    ),
    where: ({ type }) => repeatedTexts(objectsOf(type).map(({ code }) => code)).map((i) => `type[${i}]`),
  },
  {
    ...invariant(
      'eld-14',
      'ElementDefinition',
      'each constraint key once',
      'Give each its own key.',
      ({ constraint }) => repeatedTexts(objectsOf(constraint).map(({ key }) => key)).length === 0,
    ),
    where: ({ constraint }) =>
      repeatedTexts(objectsOf(constraint).map(({ key }) => key)).map((i) => `constraint[${i}].key`),
  },
  invariant(
    'eld-15',
    'ElementDefinition',
    'a default value or what absence means, not both',
    'Keep one of the two.',
    (element) => !hasChoice(element, 'defaultValue') || !hasPrimitive(element, 'meaningWhenMissing'),
  ),
  {
    ...invariant(
      'eld-16',
      'ElementDefinition',
      'a slice name of letters, digits and / - _ [ ] @',
      'Rename the slice.',
      ({ sliceName }) => typeof sliceName !== 'string' || /^[a-zA-Z0-9/\-_[\]@]+$/.test(sliceName),
    ),
    child: 'sliceName',
  },
  invariant(
    'eld-18',
    'ElementDefinition',
    'the reason why it is a modifier',
    'Add isModifierReason.',
    (element) => element.isModifier !== true || hasPrimitive(element, 'isModifierReason'),
  ),
  {
    ...invariant(
      'eld-19',
      'ElementDefinition',
      'element names without special characters',
      'Rename the element.',
      ({ path }) => typeof path !== 'string' || /[^\s.,:;'"/|?!@#$%&*()[\]{}]/.test(path),
    ),
    child: 'path',
  },
  {
    ...invariant(
      'eld-20',
      'ElementDefinition',
      'element names of letters and digits',
      'Rename the element.',
      ({ path }) => typeof path !== 'string' || /[A-Za-z]/.test(path),
    ),
    severity: 'warning',
    child: 'path',
  },
  invariant(
    'eld-22',
    'ElementDefinition',
    'a slice name where a slice constrains another',
    'Add sliceName.',
    (element) => !hasPrimitive(element, 'sliceIsConstraining') || hasPrimitive(element, 'sliceName'),
  ),
  invariant(
    'eld-1',
    'ElementDefinition_Slicing',
    'a discriminator, or a description of how slices are told apart',
    'Add one of the two.',
    (slicing) => exists(slicing.discriminator) || hasPrimitive(slicing, 'description'),
  ),
  invariant(
    'eld-4',
    'ElementDefinition_Type',
    'an aggregation on a Reference or canonical only',
    'Remove the aggregation.',
    (type) => (!exists(type.aggregation) && !exists(type._aggregation)) || refers(type),
  ),
  invariant(
    'eld-17',
    'ElementDefinition_Type',
    'target profiles on a Reference or canonical only',
    'Remove targetProfile.',
    (type) => (!exists(type.targetProfile) && !exists(type._targetProfile)) || refers(type),
  ),
  {
    ...invariant(
      'eld-21',
      'ElementDefinition_Constraint',
      'an expression that programs can judge',
      'Add the expression.',
      (constraint) => hasPrimitive(constraint, 'expression'),
    ),
    severity: 'warning',
  },
  invariant(
    'eld-12',
    'ElementDefinition_Binding',
    'a value set by an http, https or urn URL',
    'Write the canonical URL of the value set.',
    ({ valueSet }) => typeof valueSet !== 'string' || /^(?:http:|https|urn:)/.test(valueSet),
  ),
]

const WHOLE = /^\d{1,9}$/

function refers({ code }: JsonObject): boolean {
  return code === 'Reference' || code === 'canonical'
}

function saysOwnContent(element: JsonObject): boolean {
  return (
    exists(element.type) ||
    exists(element.example) ||
    exists(element.binding) ||
    hasPrimitive(element, 'maxLength') ||
    ['defaultValue', 'fixed', 'pattern', 'minValue', 'maxValue'].some((choice) => hasChoice(element, choice))
  )
}
