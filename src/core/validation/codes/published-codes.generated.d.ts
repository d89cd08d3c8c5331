/** By URL of the code system: its codes with their displays. Each is held completely. */
export const CODE_SYSTEMS: Readonly<Record<string, Readonly<Record<string, string>>>>
/**
 * By URL of the value set: its version, and by URL of a code system the codes it takes from it. `all` are those of
 * `CODE_SYSTEMS`; `unknown` are those of a code system not held.
 */
export const VALUE_SETS: Readonly<
  Record<string, readonly [version: string, Readonly<Record<string, readonly string[] | 'all' | 'unknown'>>]>
>
/** Elements bound extensibly: the type, its JSON property, and the URL of the value set. */
export const EXTENSIBLE_BINDINGS: readonly (readonly [type: string, property: string, valueSet: string])[]
/** Code systems that R4 moved from `http://hl7.org/fhir/` to `http://terminology.hl7.org/CodeSystem/`: what follows. */
export const MOVED_CODE_SYSTEMS: readonly string[]
