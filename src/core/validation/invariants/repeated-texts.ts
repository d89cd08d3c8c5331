/** The places of texts that stand at an earlier place too. What is no text is passed over. */
export function repeatedTexts(values: readonly unknown[]): readonly number[] {
  const seen = new Set<string>()
  const repeated: number[] = []
  values.forEach((value, i) => {
    if (typeof value !== 'string') return
    if (seen.has(value)) repeated.push(i)
    else seen.add(value)
  })
  return repeated
}
