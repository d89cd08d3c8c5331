import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import type { ElementRule } from '../elements/element-rule.ts'
import { exists } from '../exists.ts'
import { invariant, type ResourceInvariant } from './invariant.ts'
import { hasPrimitive } from './presence.ts'
import { repeatedTexts } from './repeated-texts.ts'

/** Every definition has the same rule on its name, under a key of its own. The published pattern is not anchored. */
export function nameRule(key: string): ResourceInvariant {
  return {
    key,
    severity: 'warning',
    human: 'a name that programs can use: a capital letter, then letters, digits and _',
    remedy: 'Give it such a name; the title is for people.',
    holds: ({ name }) => typeof name !== 'string' || /[A-Z]/.test(name),
    where: () => ['name'],
  }
}

/** Source: FHIR R4 4.0.1, constraints of ValueSet and its parts. */
export const valueSetInvariants: readonly ResourceInvariant[] = [nameRule('vsd-0')]

/** Source: FHIR R4 4.0.1, constraints of CodeSystem. */
export const codeSystemInvariants: readonly ResourceInvariant[] = [
  nameRule('csd-0'),
  {
    key: 'csd-1',
    severity: 'error',
    human: 'each code once',
    remedy: 'Keep one concept of each code.',
    holds: (codeSystem) => repeatedTexts(conceptsOf(codeSystem).map(([, { code }]) => code)).length === 0,
    where: (codeSystem) => {
      const concepts = conceptsOf(codeSystem)
      return repeatedTexts(concepts.map(([, { code }]) => code)).map((i) => `${concepts[i]?.[0]}.code`)
    },
  },
]

/** All concepts, those inside others too, with their paths. The walk of the elements has bounded the depth before. */
function conceptsOf({ concept }: JsonObject, under = ''): [path: string, concept: JsonObject][] {
  if (!Array.isArray(concept)) return []
  return concept.flatMap((one: unknown, i): [string, JsonObject][] => {
    if (!isJsonObject(one)) return []
    const path = `${under}concept[${i}]`
    return [[path, one], ...conceptsOf(one, `${path}.`)]
  })
}

/** Source: FHIR R4 4.0.1, constraints of CapabilityStatement. Those of its parts are below. */
export const capabilityStatementInvariants: readonly ResourceInvariant[] = [
  nameRule('cpb-0'),
  {
    key: 'cpb-1',
    severity: 'error',
    human: 'at least one of rest, messaging and document',
    remedy: 'Say what it is about.',
    holds: ({ rest, messaging, document }) => exists(rest) || exists(messaging) || exists(document),
  },
  {
    key: 'cpb-2',
    severity: 'error',
    human: 'at least one of description, software and implementation',
    remedy: 'Say what is described.',
    holds: (statement) =>
      hasPrimitive(statement, 'description') ||
      exists(statement.software) ||
      exists(statement.implementation),
  },
  {
    key: 'cpb-3',
    severity: 'error',
    human: 'a messaging endpoint only where an instance is described',
    remedy: 'Remove the endpoint, or correct the kind.',
    holds: ({ messaging, kind }) =>
      kind === 'instance' || !objectsOf(messaging).some(({ endpoint }) => exists(endpoint)),
    where: () => ['messaging'],
  },
  {
    key: 'cpb-7',
    severity: 'error',
    human: 'each document profile once in each mode',
    remedy: 'Keep one of the two.',
    holds: ({ document }) => repeatedTexts(objectsOf(document).map(profileAndMode)).length === 0,
    where: ({ document }) =>
      repeatedTexts(objectsOf(document).map(profileAndMode)).map((i) => `document[${i}]`),
  },
  {
    key: 'cpb-14',
    severity: 'error',
    human: 'an implementation where an instance is described',
    remedy: 'Add it, or correct the kind.',
    holds: ({ kind, implementation }) => kind !== 'instance' || exists(implementation),
  },
  {
    key: 'cpb-15',
    severity: 'error',
    human: 'software and no implementation where a capability is described',
    remedy: 'Add or remove it, or correct the kind.',
    holds: ({ kind, implementation, software }) =>
      kind !== 'capability' || (!exists(implementation) && exists(software)),
  },
  {
    key: 'cpb-16',
    severity: 'error',
    human: 'neither software nor implementation where requirements are described',
    remedy: 'Remove it, or correct the kind.',
    holds: ({ kind, implementation, software }) =>
      kind !== 'requirements' || (!exists(implementation) && !exists(software)),
  },
]

function profileAndMode({ profile, mode }: JsonObject): string {
  return `${typeof profile === 'string' ? profile : ''}${typeof mode === 'string' ? mode : ''}`
}

/** Source: FHIR R4 4.0.1, constraints of the parts of ValueSet and CapabilityStatement. */
export const conformancePartInvariants: readonly ElementRule[] = [
  invariant(
    'vsd-1',
    'ValueSet_Include',
    'a system or a value set',
    'Say where the codes come from.',
    (include) => exists(include.valueSet) || exists(include._valueSet) || hasPrimitive(include, 'system'),
  ),
  invariant(
    'vsd-2',
    'ValueSet_Include',
    'a system beside concepts or filters',
    'Say where the codes come from.',
    (include) => (!exists(include.concept) && !exists(include.filter)) || hasPrimitive(include, 'system'),
  ),
  invariant(
    'vsd-3',
    'ValueSet_Include',
    'concepts or filters, not both',
    'Keep one of the two.',
    ({ concept, filter }) => !exists(concept) || !exists(filter),
  ),
  invariant(
    'vsd-6',
    'ValueSet_Contains',
    'a code or a display',
    'Add one of the two.',
    (one) => hasPrimitive(one, 'code') || hasPrimitive(one, 'display'),
  ),
  invariant(
    'vsd-9',
    'ValueSet_Contains',
    'a code on what is not abstract',
    'Add the code, or say that it is abstract.',
    (one) => hasPrimitive(one, 'code') || one.abstract === true,
  ),
  invariant(
    'vsd-10',
    'ValueSet_Contains',
    'a system beside the code',
    'Say where the code comes from.',
    (one) => !hasPrimitive(one, 'code') || hasPrimitive(one, 'system'),
  ),
  {
    ...invariant(
      'cpb-9',
      'CapabilityStatement_Rest',
      'each resource type once',
      'Describe the type in one place.',
      ({ resource }) => repeatedTexts(objectsOf(resource).map(({ type }) => type)).length === 0,
    ),
    where: ({ resource }) =>
      repeatedTexts(objectsOf(resource).map(({ type }) => type)).map((i) => `resource[${i}].type`),
  },
  {
    ...invariant(
      'cpb-12',
      'CapabilityStatement_Resource',
      'each search parameter once',
      'Keep one of the two.',
      ({ searchParam }) => repeatedTexts(objectsOf(searchParam).map(({ name }) => name)).length === 0,
    ),
    where: ({ searchParam }) =>
      repeatedTexts(objectsOf(searchParam).map(({ name }) => name)).map((i) => `searchParam[${i}].name`),
  },
]
