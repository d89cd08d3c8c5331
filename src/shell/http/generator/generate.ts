// Rebuilds `profiles/capability-statements/` from what the code sends and serves. Run: npx tsx
// src/shell/http/generator/generate.ts
// then format. A test says when the two have come apart. Not part of the built package.
import { mkdirSync, writeFileSync } from 'node:fs'
import { capabilityDocument } from './capability-document.ts'

const folder = new URL('../../../../profiles/capability-statements/', import.meta.url)
const document = capabilityDocument()
mkdirSync(folder, { recursive: true })
writeFileSync(new URL(`${document.id}.json`, folder), `${JSON.stringify(document, null, 2)}\n`)
