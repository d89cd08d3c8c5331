/** Writes `samples/sessions/` and `samples/bundles/` again: `npx tsx samples/generator/generate.ts`. */
import { mkdirSync, writeFileSync } from 'node:fs'
import { samplePeople } from './people.ts'
import { sampleBundles } from './sample-bundles.ts'
import { sampleFile } from './sample-sessions.ts'

for (const person of samplePeople()) {
  const file = new URL(`../sessions/${person.subject}.ndjson`, import.meta.url)
  writeFileSync(file, sampleFile(person))
}
mkdirSync(new URL('../bundles/', import.meta.url), { recursive: true })
for (const [name, bundle] of sampleBundles()) {
  writeFileSync(new URL(`../bundles/${name}`, import.meta.url), `${JSON.stringify(bundle, null, 1)}\n`)
}
