import type { JsonObject } from '../../basics/json-object.ts'
import { standsAlone } from '../constant.ts'

/**
 * Values found right once that can never change, so need no second look: the constants that every resource we write
 * shares, and the last patient referred to, whom all resources of a session share. What comes from JSON is never
 * frozen, and is looked at each time. One memory for each set of rules: what is right by the rules that block may still
 * deserve a warning.
 */
export class RightConstants {
  readonly #constants: Readonly<Record<string, WeakSet<JsonObject>>> = {
    CodeableConcept: new WeakSet(),
    Meta: new WeakSet(),
    Extension: new WeakSet(),
    Observation_Component: new WeakSet(),
    Quantity: new WeakSet(),
  }
  #lastReference: JsonObject | undefined

  /** @param type name of the R4 type the value was, and is, looked at as. */
  has(value: JsonObject, type: string): boolean {
    return type === 'Reference' ? value === this.#lastReference : (this.#constants[type]?.has(value) ?? false)
  }

  /** Remembers a value that was found right, when it can be: frozen throughout, and right whatever stands around it. */
  remember(value: JsonObject, type: string): void {
    if (!(type === 'Reference' || type in this.#constants) || !standsAlone(value)) return
    if (type === 'Reference') this.#lastReference = value
    else this.#constants[type]?.add(value)
  }
}
