import { expect, it } from 'vitest'
import { CITATIONS } from './citations.ts'

it('a citation says in its own words that it is from memory exactly when it is marked so, for whoever reads it', () => {
  const saysMemory = Object.entries(CITATIONS).filter(([, { text }]) => text.includes('from memory'))
  const marked = Object.entries(CITATIONS).filter(([, { evidence }]) => evidence === 'memory')
  // Of the layered limits only the edits of registries are from memory; the layers themselves are drawn here.
  expect(saysMemory.map(([id]) => id).filter((id) => id !== 'plausibility-layers')).toEqual(
    marked.map(([id]) => id),
  )
})
