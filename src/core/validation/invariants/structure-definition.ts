import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import type { ElementRule } from '../elements/element-rule.ts'
import { exists } from '../exists.ts'
import { nameRule } from './conformance.ts'
import { invariant, type ResourceInvariant } from './invariant.ts'
import { hasChoice, hasPrimitive } from './presence.ts'
import { repeatedTexts } from './repeated-texts.ts'
import {
  allElements,
  elementsOf,
  everyElement,
  isRoot,
  pathsOf,
  placesOf,
  uniqueIds,
  type View,
  whichBreak,
} from './structure-views.ts'

/** Source: FHIR R4 4.0.1, constraints of StructureDefinition about it as a whole. */
export const structureDefinitionInvariants: readonly ResourceInvariant[] = [
  nameRule('sdf-0'),
  {
    key: 'sdf-1',
    severity: 'error',
    human: 'each path once in the snapshot of what is no constraint',
    remedy: 'Keep one element of each path.',
    holds: (definition) =>
      definition.derivation === 'constraint' || repeatedTexts(pathsOf(definition, 'snapshot')).length === 0,
    where: (definition) => placesOf('snapshot', repeatedTexts(pathsOf(definition, 'snapshot'))),
  },
  {
    key: 'sdf-4',
    severity: 'error',
    human: 'a base definition, unless it is abstract',
    remedy: 'Add baseDefinition.',
    holds: (definition) => definition.abstract === true || hasPrimitive(definition, 'baseDefinition'),
  },
  {
    key: 'sdf-5',
    severity: 'error',
    human: 'a context on an extension: where it may be used',
    remedy: 'Add the context.',
    holds: ({ type, derivation, context }) =>
      type !== 'Extension' || derivation === 'specialization' || exists(context),
  },
  {
    key: 'sdf-6',
    severity: 'error',
    human: 'a snapshot or a differential',
    remedy: 'Add one of the two.',
    holds: ({ snapshot, differential }) => exists(snapshot) || exists(differential),
  },
  everyElement(
    'sdf-9',
    'no label, code or requirements on the root element',
    (element) =>
      !isRoot(element) ||
      !(hasPrimitive(element, 'label') || exists(element.code) || hasPrimitive(element, 'requirements')),
  ),
  {
    key: 'sdf-11',
    severity: 'error',
    human: 'a snapshot that begins with the type that is defined',
    remedy: 'Make path and type agree.',
    holds: (definition) =>
      definition.kind === 'logical' ||
      !exists(definition.snapshot) ||
      pathsOf(definition, 'snapshot')[0] === definition.type,
    where: () => ['snapshot.element[0].path'],
  },
  everyElement('sdf-14', 'an id on each element', (element) => exists(element.id)),
  {
    key: 'sdf-15',
    severity: 'error',
    human: 'no type on the first element of the snapshot, unless the model is logical',
    remedy: 'Remove the type.',
    holds: (definition) =>
      definition.kind === 'logical' || !exists(elementsOf(definition, 'snapshot')[0]?.type),
    where: () => ['snapshot.element[0].type'],
  },
  {
    key: 'sdf-15a',
    severity: 'error',
    human: 'no type on the root of the differential, unless the model is logical',
    remedy: 'Remove the type.',
    holds: (definition) => {
      const [first] = elementsOf(definition, 'differential')
      return definition.kind === 'logical' || first === undefined || !isRoot(first) || !exists(first.type)
    },
    where: () => ['differential.element[0].type'],
  },
  uniqueIds('sdf-16', 'snapshot'),
  uniqueIds('sdf-17', 'differential'),
  {
    key: 'sdf-18',
    severity: 'error',
    human: 'a context invariant on an extension only',
    remedy: 'Remove contextInvariant.',
    holds: (definition) =>
      definition.type === 'Extension' ||
      !(exists(definition.contextInvariant) || exists(definition._contextInvariant)),
    where: () => ['contextInvariant'],
  },
  {
    key: 'sdf-19',
    severity: 'error',
    human: 'types of FHIR only in a model of FHIR itself',
    remedy: 'Use FHIR types, or a URL of your own.',
    holds: (definition) =>
      !isOfFhir(definition) ||
      (typeCodesOf(definition, 'differential').every(isFhirType(/^[a-zA-Z0-9]+$/)) &&
        typeCodesOf(definition, 'snapshot').every(isFhirType(/^[a-zA-Z0-9.]+$/))),
  },
  {
    key: 'sdf-21',
    severity: 'error',
    human: 'a default value in a specialization only',
    remedy: 'Remove the default value.',
    holds: (definition) =>
      definition.derivation === 'specialization' ||
      !elementsOf(definition, 'differential').some((element) => hasChoice(element, 'defaultValue')),
  },
  {
    key: 'sdf-22',
    severity: 'error',
    human: 'no default value in a model of FHIR itself',
    remedy: 'Remove the default value, or use a URL of your own.',
    holds: (definition) =>
      !isOfFhir(definition) || !allElements(definition).some((element) => hasChoice(element, 'defaultValue')),
  },
  everyElement(
    'sdf-23',
    'no slice name on the root element',
    (element) => !isRoot(element) || !hasPrimitive(element, 'sliceName'),
  ),
  {
    key: 'sdf-8',
    severity: 'error',
    human: 'a snapshot of which every path lies under the first, which is the type',
    remedy: 'Correct the paths.',
    holds: (definition) => {
      const [first, ...rest] = pathsOf(definition, 'snapshot')
      if (typeof first !== 'string') return true
      if (definition.kind !== 'logical' && first !== definition.type) return false
      return rest.every((path) => typeof path !== 'string' || path.startsWith(`${first}.`))
    },
    where: () => ['snapshot'],
  },
  {
    key: 'sdf-8a',
    severity: 'error',
    human: 'a differential of which every path lies under the type',
    remedy: 'Correct the paths.',
    holds: (definition) => {
      const [first, ...rest] = pathsOf(definition, 'differential')
      if (typeof first !== 'string') return true
      if (definition.kind !== 'logical' && !first.startsWith(`${definition.type}`)) return false
      const root = `${first.replace(/\..*/s, '')}.`
      return rest.every((path) => typeof path !== 'string' || path.startsWith(root))
    },
    where: () => ['differential'],
  },
  {
    key: 'sdf-10',
    severity: 'error',
    human: 'a value set or a description in each binding of the snapshot',
    remedy: 'Add one of the two.',
    holds: (definition) => elementsOf(definition, 'snapshot').every(hasDescribedBinding),
    where: (definition) =>
      placesOf('snapshot', whichBreak(elementsOf(definition, 'snapshot'), hasDescribedBinding)),
  },
]

/** Source: FHIR R4 4.0.1, constraints of the parts of StructureDefinition. */
export const structureDefinitionPartInvariants: readonly ElementRule[] = [
  invariant(
    'sdf-2',
    'StructureDefinition_Mapping',
    'a name or a URI',
    'Add one of the two.',
    (mapping) => hasPrimitive(mapping, 'name') || hasPrimitive(mapping, 'uri'),
  ),
  invariant(
    'sdf-3',
    'StructureDefinition_Snapshot',
    'definition, min and max on each element',
    'Add what is missing.',
    ({ element }) =>
      objectsOf(element).every((one) =>
        ['definition', 'min', 'max'].every((name) => hasPrimitive(one, name)),
      ),
  ),
  invariant(
    'sdf-8b',
    'StructureDefinition_Snapshot',
    'a base on each element',
    'Add the base.',
    ({ element }) => objectsOf(element).every(({ base }) => exists(base)),
  ),
  invariant(
    'sdf-20',
    'StructureDefinition_Differential',
    'no slicing on the root element',
    'Remove the slicing.',
    ({ element }) => !objectsOf(element).some((one) => isRoot(one) && exists(one.slicing)),
  ),
]

function hasDescribedBinding({ binding }: JsonObject): boolean {
  return !isJsonObject(binding) || hasPrimitive(binding, 'valueSet') || hasPrimitive(binding, 'description')
}

function isOfFhir({ url }: JsonObject): boolean {
  return typeof url === 'string' && url.startsWith('http://hl7.org/fhir/StructureDefinition')
}

function typeCodesOf(definition: JsonObject, view: View): readonly unknown[] {
  return elementsOf(definition, view).flatMap(({ type }) => objectsOf(type).map(({ code }) => code))
}

function isFhirType(name: RegExp): (code: unknown) => boolean {
  return (code) =>
    typeof code !== 'string' ||
    name.test(code) ||
    /^http:\/\/hl7\.org\/fhirpath\/System\.[A-Z][A-Za-z]+$/.test(code)
}
