import { readFileSync } from 'node:fs'
import { z } from 'zod'

const person = z.strictObject({
  subject: z.string(),
  name: z.strictObject({ given: z.string(), family: z.string() }),
  patient: z.strictObject({ system: z.string(), value: z.string() }),
  zone: z.string(),
  armCircumferenceCm: z.number(),
  protocol: z.string(),
  firstDay: z.string(),
  days: z.int(),
  arm: z.enum(['left', 'right']).optional(),
  shows: z.string(),
})

/** One of the invented people, as `samples/people.json` describes them. */
export type Person = z.output<typeof person>

/** The invented people of `samples/people.json`, in its order. */
export function samplePeople(): readonly Person[] {
  const text = readFileSync(new URL('../people.json', import.meta.url), 'utf8')
  return z.array(person).parse(JSON.parse(text))
}
