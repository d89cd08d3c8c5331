/** The calls for attention, a line each. What several of them say alike is said once. */
export function attentionLines(calls: readonly { readonly text: string }[]): readonly string[] {
  const said = new Set<string>()
  return calls.map(({ text }) => {
    const fresh = text.split(/(?<=\.) /).filter((sentence) => !said.has(sentence))
    for (const sentence of fresh) said.add(sentence)
    return `For attention: ${fresh.join(' ')}`
  })
}
