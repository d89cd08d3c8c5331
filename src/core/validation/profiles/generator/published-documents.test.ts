import { readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { fromRoot, MODULE_PATH, moduleText } from './published-documents.ts'
import { r4Documents } from './r4-documents.ts'

it('the profiles and extensions of R4 are those of the published definitions', () => {
  for (const [id, document] of r4Documents())
    expect(JSON.parse(readFileSync(fromRoot(`profiles/r4/${id}.json`), 'utf8'))).toEqual(document)
})

it('the module of published documents is what the generator writes, byte for byte', () => {
  expect(readFileSync(fromRoot(MODULE_PATH), 'utf8') === moduleText()).toBe(true)
})
