/** Whether two parsed JSON values mean the same: numbers by value, arrays in order, objects whatever their key order. */
export function sameJsonValue(one: unknown, other: unknown): boolean {
  if (one === other) return true
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null) return false
  if (Array.isArray(one) || Array.isArray(other)) {
    if (!Array.isArray(one) || !Array.isArray(other) || one.length !== other.length) return false
    return one.every((item, index) => sameJsonValue(item, other[index]))
  }
  const left = new Map<string, unknown>(Object.entries(one))
  const right = Object.entries(other)
  return (
    left.size === right.length &&
    right.every(([key, value]) => left.has(key) && sameJsonValue(left.get(key), value))
  )
}
