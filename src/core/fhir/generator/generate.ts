// Rebuilds our profiles, value sets and code systems in `profiles/` from the code that writes what they describe.
// Run: npx tsx src/core/fhir/generator/generate.ts
// then format. A test says when the two have come apart. Not part of the built package.
import { mkdirSync, writeFileSync } from 'node:fs'
import { conformanceDocuments } from './conformance-documents.ts'

const folder = new URL('../../../../profiles/', import.meta.url)
for (const [path, document] of conformanceDocuments()) {
  const file = new URL(path, folder)
  mkdirSync(new URL('.', file), { recursive: true })
  writeFileSync(file, `${JSON.stringify(document, null, 2)}\n`)
}
