import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { GENERATED_PATH, generatedText } from './generated-file.ts'

const text = generatedText()
writeFileSync(fileURLToPath(new URL(`../../../../../${GENERATED_PATH}`, import.meta.url)), text)
console.log(`${GENERATED_PATH} ${text.length} characters`)
