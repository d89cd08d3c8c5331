/**
 * Whether a FHIRPath engine would find the element: null and empty lists are not there, and neither is what a
 * resource in memory holds as undefined.
 */
export function exists(value: unknown): boolean {
  return value !== undefined && value !== null && !(Array.isArray(value) && value.length === 0)
}
