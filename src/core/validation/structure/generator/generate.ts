import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { generatedFiles } from './generated-files.ts'

for (const [path, text] of generatedFiles()) {
  writeFileSync(fileURLToPath(new URL(`../../../../../${path}`, import.meta.url)), text)
  console.log(`${path} ${text.length} characters`)
}
