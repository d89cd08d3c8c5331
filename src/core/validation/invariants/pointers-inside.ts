import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import { type ComplexType, ComplexTypes } from '../elements/element-types.ts'

const TYPES = new ComplexTypes([])

/** Texts in a resource that begin with # and may point into it, or out of it to its container. */
export interface Pointers {
  /** In an element called reference, or of type canonical, uri or url. */
  readonly any: ReadonlySet<string>
  /** In an element called reference, or of type canonical. */
  readonly back: ReadonlySet<string>
}

/** Every such text, those in contained resources too. The walk of the elements has bounded the depth before. */
export function pointersInside(resource: JsonObject): Pointers {
  const any = new Set<string>()
  const back = new Set<string>()

  const text = (value: unknown, name: string, typeName: string): void => {
    if (typeof value !== 'string' || !value.startsWith('#')) return
    const isReference = name === 'reference'
    if (isReference || POINTING.has(typeName)) any.add(value)
    if (isReference || typeName === 'canonical') back.add(value)
  }
  const object = (value: JsonObject, type: ComplexType): void => {
    for (const property in value) {
      const element = type.elements.get(property)
      // The url of an extension is a plain string in the published definition of its type.
      if (element === undefined || (property === 'url' && type.name === 'Extension')) continue
      const held = value[property]
      for (const item of Array.isArray(held) ? held : [held]) {
        if (element.primitive !== undefined) text(item, element.path, element.typeName)
        else if (isJsonObject(item)) {
          const inner = element.complex ?? typeOf(item)
          if (inner !== undefined) object(item, inner)
        }
      }
    }
  }

  const type = typeOf(resource)
  if (type !== undefined) object(resource, type)
  return { any, back }
}

const POINTING: ReadonlySet<string> = new Set(['canonical', 'uri', 'url'])

function typeOf({ resourceType }: JsonObject): ComplexType | undefined {
  return typeof resourceType === 'string' ? TYPES.get(resourceType) : undefined
}
