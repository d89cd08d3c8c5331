import { writeFileSync } from 'node:fs'
import { fromRoot, MODULE_PATH, moduleText } from './published-documents.ts'
import { r4Documents } from './r4-documents.ts'

for (const [id, document] of r4Documents())
  writeFileSync(fromRoot(`profiles/r4/${id}.json`), `${JSON.stringify(document, null, 2)}\n`)
const text = moduleText()
writeFileSync(fromRoot(MODULE_PATH), text)
console.log(`${MODULE_PATH} ${text.length} characters`)
