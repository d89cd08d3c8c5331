// Rebuilds `profiles/schemas/session-record.schema.json`. Run: npx tsx src/core/record/generator/generate.ts
// then format. A test says when the two have come apart. Not part of the built package.
import { writeFileSync } from 'node:fs'
import { sessionRecordJsonSchema } from '../session-record-json-schema.ts'

const file = new URL('../../../../profiles/schemas/session-record.schema.json', import.meta.url)
writeFileSync(file, `${JSON.stringify(sessionRecordJsonSchema(), null, 2)}\n`)
