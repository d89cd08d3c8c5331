/** Writes `samples/sessions/<subject>.ndjson` again: `npx tsx samples/generator/generate.ts`. */
import { writeFileSync } from 'node:fs'
import { samplePeople } from './people.ts'
import { sampleFile } from './sample-sessions.ts'

for (const person of samplePeople()) {
  const file = new URL(`../sessions/${person.subject}.ndjson`, import.meta.url)
  writeFileSync(file, sampleFile(person))
}
