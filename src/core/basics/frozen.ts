/** Freezes a value and everything in it, so that one constant can safely be shared by every resource written. */
export function frozen<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) {
    Object.freeze(value)
    for (const inner of Object.values(value)) frozen(inner)
  }
  return value
}

/** Whether neither the value nor anything in it can change. */
export function isFrozenThroughout(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return true
  return Object.isFrozen(value) && Object.values(value).every(isFrozenThroughout)
}
