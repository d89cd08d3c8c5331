import { r4Elements } from './r4-elements.ts'
import type { Context } from './structure-definition.ts'

/** Where an extension stands, in the words of R4. */
export interface ExtensionPlace {
  /** FHIRPath of the extension. */
  readonly at: string
  /** Path of the element it extends, by its definition: `Observation.component`. */
  readonly path: string
  /** Type of that element as the element table names it: `Quantity`, `Observation_Component`, `dateTime`. */
  readonly type: string | undefined
}

/** @param keys JSON keys from the resource to the extension, `indexes` their positions, -1 for what stands alone. */
export function extensionPlace(
  resourceType: string,
  start: string,
  keys: readonly string[],
  indexes: readonly number[],
): ExtensionPlace {
  let at = start
  let path = resourceType
  let type: string | undefined = resourceType
  const last = keys.length - 1
  for (let i = 0; i < last; i++) {
    const key = keys[i]?.replace(/^_/, '') ?? ''
    const [name, next]: [string, string | undefined] =
      type === undefined ? [key, undefined] : childByKey(type, key)
    at += `.${name}${positionOf(indexes[i])}`
    path += `.${name}`
    type = next
  }
  return { at: `${at}.${keys[last]}${positionOf(indexes[last])}`, path, type }
}

function positionOf(index = -1): string {
  return index === -1 ? '' : `[${index}]`
}

function childByKey(type: string, key: string): [name: string, type: string | undefined] {
  const elements = r4Elements(type)
  const plain = elements?.get(key)
  if (plain !== undefined && !plain.isChoice) return [key, plain.variants[0]?.type]
  for (const { name, isChoice, variants } of elements?.values() ?? []) {
    const variant = isChoice ? variants.find((one) => one.key === key) : undefined
    if (variant !== undefined) return [name, variant.type]
  }
  return [key, undefined]
}

/**
 * Whether a context lets an extension stand there; undefined when it cannot be told.
 * Source: FHIR R4 4.0.1, defining-extensions.html 2.4.1.1.
 */
export function isContext(
  { type, expression }: Context,
  place: ExtensionPlace,
  parentUrl: unknown,
): boolean | undefined {
  if (type === 'extension') return parentUrl === expression
  if (type !== 'element') return undefined
  if (expression === place.path || expression === place.type) return true
  const written = expression.replaceAll('[x]', '')
  if (written === place.path || written === place.type) return true
  const isResource = !place.path.includes('.')
  if (written === 'Element') return !isResource
  if (written === 'BackboneElement') return place.type?.includes('_') === true
  if (written === 'Resource' || written === 'DomainResource') return isResource
  return /^[A-Za-z.]+$/.test(written) ? isPartOfType(written, place) : undefined
}

/** `Timing.repeat` of whatever element is a Timing. */
function isPartOfType(written: string, { type }: ExtensionPlace): boolean {
  return type !== undefined && written.toLowerCase().replaceAll('.', '_') === type.toLowerCase()
}
