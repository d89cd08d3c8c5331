/** Writes `samples/sessions/`, `samples/bundles/` and `samples/sent/` again: `npx tsx samples/generator/generate.ts`. */
import { mkdirSync, rmSync, writeFileSync } from 'node:fs'
import { samplePeople } from './people.ts'
import { sampleBundles } from './sample-bundles.ts'
import { sampleFile } from './sample-sessions.ts'
import { sentSamples } from './sent-samples.ts'

for (const person of samplePeople()) {
  const file = new URL(`../sessions/${person.subject}.ndjson`, import.meta.url)
  writeFileSync(file, sampleFile(person))
}
mkdirSync(new URL('../bundles/', import.meta.url), { recursive: true })
for (const [name, bundle] of sampleBundles()) {
  writeFileSync(new URL(`../bundles/${name}`, import.meta.url), `${JSON.stringify(bundle, null, 1)}\n`)
}
rmSync(new URL('../sent/', import.meta.url), { recursive: true, force: true })
mkdirSync(new URL('../sent/', import.meta.url))
for (const [name, text] of sentSamples()) writeFileSync(new URL(`../sent/${name}`, import.meta.url), text)
