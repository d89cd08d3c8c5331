// Rebuilds `profiles/schemas/` from the document schemas. Run: npx tsx src/core/clinical/protocol/generator/generate.ts
// then format. A test says when the two have come apart. Not part of the built package.
import { writeFileSync } from 'node:fs'
import { documentSchemas } from './document-schemas.ts'

const folder = new URL('../../../../../profiles/schemas/', import.meta.url)
for (const [file, schema] of Object.entries(documentSchemas())) {
  writeFileSync(new URL(file, folder), `${JSON.stringify(schema, null, 2)}\n`)
}
