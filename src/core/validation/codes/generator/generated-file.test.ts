import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'
import { GENERATED_PATH, generatedText } from './generated-file.ts'

it('the table of published codes is what the generator writes, byte for byte', () => {
  const file = fileURLToPath(new URL(`../../../../../${GENERATED_PATH}`, import.meta.url))
  expect(readFileSync(file, 'utf8') === generatedText()).toBe(true)
})
