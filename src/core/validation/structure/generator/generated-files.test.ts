import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { generatedFiles } from './generated-files.ts'

const files = generatedFiles()

describe('generated files', () => {
  it.each([...files.keys()])('%s is what the generator writes, byte for byte', (path) => {
    const file = fileURLToPath(new URL(`../../../../../${path}`, import.meta.url))
    expect(readFileSync(file, 'utf8') === files.get(path)).toBe(true)
  })

  it.each([...files.keys()].filter((path) => path.endsWith('.js')))('%s imports nothing', (path) => {
    expect(files.get(path)).not.toMatch(/\brequire\(|^import /m)
  })
})
