// Rebuilds `mappings/mapping.schema.json` from the reader's own schema. Run: npx tsx src/core/mapping/generator/generate.ts
// then format. A test says when the two have come apart. Not part of the built package.
import { mkdirSync, writeFileSync } from 'node:fs'
import { mappingJsonSchema } from './mapping-json-schema.ts'

const folder = new URL('../../../../mappings/', import.meta.url)
mkdirSync(folder, { recursive: true })
writeFileSync(new URL('mapping.schema.json', folder), `${JSON.stringify(mappingJsonSchema(), null, 2)}\n`)
