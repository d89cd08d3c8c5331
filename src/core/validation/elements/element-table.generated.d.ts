/**
 * For each complex R4 type, its elements by JSON property: the type name, with `[]` when the element repeats, and the
 * name a FHIRPath uses for it when that differs from the property.
 */
export const ELEMENT_TABLE: Readonly<
  Record<string, Readonly<Record<string, readonly [type: string, path?: string]>>>
>
