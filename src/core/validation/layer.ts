import type { Issue } from '../basics/issue.ts'
import type { JsonObject } from '../basics/json-object.ts'
import type { ValidationOptions } from './validation-options.ts'

/** A resource of an R4 type. Everything below its type is still to be judged. */
export type Resource = JsonObject & { readonly resourceType: string }

/** Takes one issue. Layers report everything they find; none stops at the first. */
export type Report = (issue: Issue) => void

/** What a resource is judged in. */
export interface Setting {
  readonly options: ValidationOptions
  /** The bundle it is an entry of, or the resource that contains it; undefined for the resource that was handed in. */
  readonly container: Resource | undefined
  /** The setting of that container. */
  readonly outer: Setting | undefined
}

/** A resource that stands in another: in an entry, in a response, in a parameter. */
export interface InnerResource {
  readonly value: JsonObject
  readonly at: string
}

/** An extension the walk met in a resource. */
export interface MetExtension {
  readonly value: JsonObject
  readonly isModifier: boolean
  /** From the resource down to it: names as in a FHIRPath and positions in lists, its own last. */
  readonly steps: readonly (string | number)[]
}

/** A Reference with a text that the walk met, and the types its element may refer to; undefined for any. */
export interface MetReference {
  readonly text: string
  readonly reference: JsonObject
  readonly targets: ReadonlySet<string> | undefined
}

/**
 * One kind of judgement over one resource.
 *
 * A layer never throws, whatever JSON it is given, and looks only at what it is about: a value of the wrong type is
 * for the walk of the elements to report. After an issue of severity `fatal` no further layer is asked.
 *
 * @param at where the resource stands: `Observation`, or `Bundle.entry[3].resource`.
 * @param errorsOnly whether only issues that block are wanted, so that a layer may spare itself the others.
 * @param extensions all extensions in the resource, those in contained ones aside.
 */
export type Layer = (
  resource: Resource,
  at: string,
  report: Report,
  errorsOnly: boolean,
  setting: Setting,
  extensions: readonly MetExtension[],
) => void
