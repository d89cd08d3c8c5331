import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import type { MetExtension, Resource } from '../layer.ts'
import { placeText } from '../place-text.ts'
import { r4Elements } from './r4-elements.ts'
import type { Context } from './structure-definition.ts'

/** Where an extension stands, in the words of R4. */
export class ExtensionPlace {
  /** Path of the element it extends, by its definition: `Observation.component`. */
  readonly path: string
  readonly #resource: Resource
  readonly #start: string
  readonly #steps: MetExtension['steps']
  #owner: Owner | undefined

  /** @param start FHIRPath of the resource. */
  constructor(resource: Resource, start: string, steps: MetExtension['steps']) {
    this.#resource = resource
    this.#start = start
    this.#steps = steps
    let path = resource.resourceType
    let last = ''
    for (const step of steps) {
      if (typeof step === 'number') continue
      if (last !== '') path += `.${last}`
      last = step
    }
    this.path = path
  }

  /** FHIRPath of the extension. */
  get at(): string {
    return placeText(this.#start, this.#steps)
  }

  /** Type of the element it extends as the element table names it: `Quantity`, `Observation_Component`, `dateTime`. */
  get type(): string | undefined {
    return this.#follow().type
  }

  /** URL of the extension it stands in, where it does. */
  get parentUrl(): unknown {
    const { value } = this.#follow()
    return isJsonObject(value) ? value.url : undefined
  }

  #follow(): Owner {
    this.#owner ??= ownerOf(this.#resource, this.#steps)
    return this.#owner
  }
}

interface Child {
  readonly value: unknown
  readonly beside: unknown
  readonly type: string
}

interface Owner {
  readonly value: unknown
  readonly type: string | undefined
}

/** The element an extension is on. Of a primitive, what carries its extensions. */
function ownerOf(resource: Resource, steps: MetExtension['steps']): Owner {
  let value: unknown = resource
  let beside: unknown
  let type: string | undefined = resource.resourceType
  const end = typeof steps.at(-1) === 'number' ? steps.length - 2 : steps.length - 1
  for (const step of steps.slice(0, end)) {
    if (typeof step === 'number') {
      value = Array.isArray(value) ? value[step] : undefined
      beside = Array.isArray(beside) ? beside[step] : undefined
      continue
    }
    const parent: unknown = isJsonObject(value) ? value : beside
    const child: Child | undefined = isJsonObject(parent) ? childOf(parent, type, step) : undefined
    value = child?.value
    beside = child?.beside
    type = child?.type
  }
  return { value: isJsonObject(value) ? value : beside, type }
}

function childOf(parent: JsonObject, type: string | undefined, name: string): Child | undefined {
  const elements = type === undefined ? undefined : r4Elements(type)
  const variants = (elements?.get(name) ?? r4Elements('Element')?.get(name))?.variants ?? []
  for (const { key, sibling, type: ofVariant } of variants) {
    const value = parent[key]
    const beside = parent[sibling]
    if (value !== undefined || beside !== undefined) return { value, beside, type: ofVariant }
  }
  return undefined
}

/**
 * Whether a context lets an extension stand there; undefined when it cannot be told.
 * Source: FHIR R4 4.0.1, defining-extensions.html 2.4.1.1.
 */
export function isContext({ type, expression }: Context, place: ExtensionPlace): boolean | undefined {
  if (type === 'extension') return place.parentUrl === expression
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
