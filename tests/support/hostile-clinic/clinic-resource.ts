/** A resource as it is held: nothing about it is sure but its type. */
export type ClinicResource = { readonly resourceType: string } & JsonObject
export type JsonObject = Readonly<Record<string, unknown>>

export function isObject(value: unknown): value is JsonObject {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

export function items(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : []
}

export function isResource(value: unknown): value is ClinicResource {
  return isObject(value) && typeof value.resourceType === 'string'
}

/** One version of a resource, as it was committed. */
export interface Version {
  readonly type: string
  readonly id: string
  /** From 1 on. */
  readonly version: number
  /** Epoch ms. */
  readonly atMs: number
  /** Undefined where it was deleted. */
  readonly resource: ClinicResource | undefined
}

/** A system and a value: of an identifier, a tag or a coding. */
export interface Token {
  readonly system?: string
  readonly value?: string
}

export function identifiersOf(resource: ClinicResource): readonly Token[] {
  return items(resource.identifier).filter(isObject).map(tokenOf('system', 'value'))
}

export function tagsOf({ meta }: ClinicResource): readonly Token[] {
  return items(isObject(meta) ? meta.tag : undefined)
    .filter(isObject)
    .map(tokenOf('system', 'code'))
}

export function codesOf({ code }: ClinicResource): readonly Token[] {
  return items(isObject(code) ? code.coding : undefined)
    .filter(isObject)
    .map(tokenOf('system', 'code'))
}

function tokenOf(systemKey: string, valueKey: string) {
  return (object: JsonObject): Token => {
    const { [systemKey]: system, [valueKey]: value } = object
    return {
      ...(typeof system === 'string' ? { system } : {}),
      ...(typeof value === 'string' ? { value } : {}),
    }
  }
}

/** What the resource is known by to whoever sent it: its first identifier, else its first tag. */
export function ownKeyOf(resource: ClinicResource): Token | undefined {
  return identifiersOf(resource)[0] ?? tagsOf(resource)[0]
}
