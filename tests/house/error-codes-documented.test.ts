import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { ERROR_CODES } from '../../src/core/basics/error-codes.ts'
import { root } from './source-files.ts'

const developers = readFileSync(join(root, 'DEVELOPERS.md'), 'utf8')

describe('the table of error codes in DEVELOPERS.md', () => {
  it('has the codes of the code, each with the same meaning and remedy, and no others', () => {
    const documented = [...developers.matchAll(/^\| `([A-Z_]+)` \| (.+?) \| (.+?) \|$/gm)].map((row) =>
      row.slice(1),
    )
    const coded = Object.entries(ERROR_CODES).map(([code, [meaning, remedy]]) => [code, meaning, remedy])
    expect(documented).toEqual(coded)
  })
})
