import type { ElementDefinition } from 'fhir/r4.js'
import { isPart, publishedElements, valueSetCodes } from './published-definitions.ts'
import { ANY_RESOURCE, type Definitions, type JsonSchema, referencedName } from './published-schema.ts'

/** What the walk knows of R4, as compact texts: `element-table.generated.d.ts` says how they are written. */
export interface Tables {
  readonly elements: Readonly<Record<string, string>>
  readonly words: Readonly<Record<string, string>>
}

/** Elements every type of one base has: written once, under the name of the base. */
const BASES: Readonly<Record<string, readonly string[]>> = {
  DomainResource: [
    ...['id', 'meta', 'implicitRules', 'language'],
    ...['text', 'contained', 'extension', 'modifierExtension'],
  ],
  Resource: ['id', 'meta', 'implicitRules', 'language'],
  BackboneElement: ['id', 'extension', 'modifierExtension'],
  Element: ['id', 'extension'],
}

/** A choice of more types than this may be of any type. */
const MANY = 40

/**
 * Walks HL7's JSON schema, which names types and parts, beside the published elements, which know minimum, maximum,
 * choice, targets and binding. Throws where the two disagree about which elements there are.
 */
export function elementTables(published: Definitions): Tables {
  const children = childrenByPath(publishedElements())
  const codesOf = valueSetCodes()
  const elements: Record<string, string> = {}
  const words: Record<string, string> = {}

  const visit = (name: string, path: string): void => {
    if (name in elements) return
    const known = (children.get(path) ?? []).filter((child) => isKnown(published[name], child))
    const all = known.filter((child) => !known.some((other) => isVariantOf(other, child)))
    agree(name, published[name], all)
    const base = Object.keys(BASES).find((one) => BASES[one]?.every((own) => all.some(isCalled(own)))) ?? ''
    const own = all.filter(
      (child) => name === base || BASES[base]?.some((one) => isCalled(one)(child)) !== true,
    )
    elements[name] = ''
    const written = own.map(
      (child) => nameOf(child) + cardinalityOf(child, published[name]) + typesOf(name, child),
    )
    elements[name] = [...(name === base ? [] : [base]), ...written].join(' ')
    for (const child of own) {
      const part = referencedName(schemaOf(published[name], child) ?? {})
      if (part !== undefined && isPart(child) && child.contentReference === undefined) visit(part, child.path)
    }
  }

  const typesOf = (name: string, child: ElementDefinition): string => {
    const referenced = referencedName(schemaOf(published[name], child) ?? {})
    if (referenced === ANY_RESOURCE) return 'Resource'
    if (isPart(child)) return referenced ?? ''
    const types = (child.type ?? []).map(({ code, targetProfile = [], profile = [] }) => {
      // `id` and `url` are of system types in the definitions; the schema says which primitive they are.
      const type = code.startsWith('http://hl7.org/fhirpath/') ? (referenced ?? 'string') : code
      const targets = targetProfile.map(lastSegment)
      const isOpen = targets.length === 0 || targets.includes('Resource')
      const simple = profile.some((url) => lastSegment(url) === 'SimpleQuantity') ? '~' : ''
      return type + simple + (isOpen ? '' : `(${targets.join(',')})`) + wordsOf(child, type)
    })
    if (types.length < MANY) return types.join('|')
    elements['*'] = types.join('|')
    return '*'
  }

  const wordsOf = ({ binding }: ElementDefinition, type: string): string => {
    if (binding?.strength !== 'required' || binding.valueSet === undefined) return ''
    const found = codesOf(binding.valueSet)
    const name = lastSegment(binding.valueSet)
    if (found === undefined) return ''
    if (type === 'code') words[name] = found.codes.join(' ')
    else if (type === 'CodeableConcept' && found.systems.length === 1)
      words[name] = [...found.systems, ...found.codes].join(' ')
    else return ''
    return `#${name}`
  }

  for (const base of Object.keys(BASES)) {
    const all = children.get(base) ?? []
    const written = all.map((child) => nameOf(child) + cardinalityOf(child) + baseTypeOf(base, child))
    elements[base] = written.join(' ')
  }
  for (const type of [...children.keys()].filter((path) => !path.includes('.')).sort())
    if (published[type]?.properties !== undefined) visit(type, type)
  return { elements, words }
}

function childrenByPath(elements: ReadonlyMap<string, ElementDefinition>): Map<string, ElementDefinition[]> {
  const children = new Map<string, ElementDefinition[]>()
  for (const [path, element] of elements) {
    const parent = path.slice(0, Math.max(0, path.lastIndexOf('.')))
    children.set(parent, [...(children.get(parent) ?? []), element])
  }
  return children
}

function isCalled(name: string): (child: ElementDefinition) => boolean {
  return ({ path }) => path.slice(path.lastIndexOf('.') + 1) === name
}

function nameOf({ path }: ElementDefinition): string {
  return path.slice(path.lastIndexOf('.') + 1)
}

/** The id of a resource is an id; that of an element is any string. */
function baseTypeOf(base: string, child: ElementDefinition): string {
  const [{ code } = { code: '' }] = child.type ?? []
  if (!code.startsWith('http://hl7.org/fhirpath/')) return code
  return base.endsWith('Resource') ? 'id' : 'string'
}

/** The schema of an element, of the items of a list, or of the first variant of a choice. */
function schemaOf(definition: JsonSchema | undefined, child: ElementDefinition): JsonSchema | undefined {
  const [name = ''] = propertiesOf(child)
  const schema = definition?.properties?.[name]
  return schema?.items ?? schema
}

/** The JSON properties of an element: one, or one for each type of a choice. */
function propertiesOf(child: ElementDefinition): string[] {
  const name = nameOf(child)
  if (!name.endsWith('[x]')) return [name]
  return (child.type ?? []).map(
    ({ code }) => name.replace('[x]', '') + code.charAt(0).toUpperCase() + code.slice(1),
  )
}

/** What was added to the definitions is not in the schema. */
function isKnown(definition: JsonSchema | undefined, child: ElementDefinition): boolean {
  return schemaOf(definition, child) !== undefined
}

/** A variant of another element's choice was made an element of its own by later versions. */
function isVariantOf(choice: ElementDefinition, child: ElementDefinition): boolean {
  return nameOf(choice).endsWith('[x]') && propertiesOf(choice).includes(nameOf(child))
}

/** The schema forgot one variant of the choices of any type: Meta, on the list of datatypes.html. */
const FORGOTTEN = /^(?:value|defaultValue|fixed|pattern)Meta$/

function agree(
  name: string,
  definition: JsonSchema | undefined,
  children: readonly ElementDefinition[],
): void {
  const ours = children.flatMap(propertiesOf).filter((property) => !FORGOTTEN.test(property))
  const properties = Object.entries(definition?.properties ?? {})
  // The schema lets parts of data types have modifier extensions; the definitions do not.
  const theirs = properties
    .filter(
      ([property, schema]) =>
        !property.startsWith('_') && !(property === 'resourceType' && 'const' in schema),
    )
    .map(([property]) => property)
    .filter((property) => property !== 'modifierExtension' || ours.includes(property))
  const apart = [
    ...ours.filter((one) => !theirs.includes(one)),
    ...theirs.filter((one) => !ours.includes(one)),
  ]
  if (apart.length > 0) throw new Error(`${name}: schema and definitions disagree on ${apart.join()}`)
}

/**
 * The schema knows the cardinality of what is complex, and must agree; that of a part is taken from it, because the
 * definitions of some parts were loosened.
 */
function cardinalityOf(child: ElementDefinition, definition?: JsonSchema): string {
  const { path, min = 0, max = '1' } = child
  if (min > 1 || (max !== '1' && max !== '*')) throw new Error(`${path} has an unforeseen cardinality`)
  const isDemanded = definition?.required?.includes(nameOf(child)) === true
  if (definition !== undefined && isDemanded !== min > 0 && !isPrimitive(child) && !isPart(child))
    throw new Error(`${path}: schema and definitions disagree on its minimum`)
  const isRequired = isPart(child) && definition !== undefined ? isDemanded : min > 0
  if (max === '*') return isRequired ? '+' : '*'
  return isRequired ? '!' : '?'
}

/** The schema cannot demand a primitive, for which an extension may stand, nor a choice. */
function isPrimitive({ path, type = [] }: ElementDefinition): boolean {
  return path.endsWith('[x]') || type.some(({ code }) => /^[a-z]/.test(code))
}

function lastSegment(url: string): string {
  return url.slice(url.lastIndexOf('/') + 1).replace(/\|.*/, '')
}
