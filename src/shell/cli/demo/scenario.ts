import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { packageRoot } from '../../config/package-root.ts'

/** The invented clinic, its home app and its people, as the samples tell it. Nobody in it exists. */
export interface Scenario {
  readonly clinic: { readonly name: string }
  readonly source: { readonly name: string; readonly title: string }
  /** As an operator writes it in the settings, but for the address. */
  readonly destination: Readonly<Record<string, unknown>> & { readonly name: string }
  readonly people: readonly Person[]
}

export interface Person {
  readonly subject: string
  readonly name: { readonly given: string; readonly family: string }
  readonly patient: { readonly system: string; readonly value: string }
  readonly zone: string
  readonly armCircumferenceCm?: number
  readonly protocol: string
  readonly firstDay: string
  readonly days: number
  readonly arm?: 'left' | 'right'
}

/** Reads the committed samples; their shape is kept by a test, so it is not checked again here. */
export function readScenario(): Scenario {
  const { clinic, source, destination } = JSON.parse(readSample('clinic.json'))
  return { clinic, source, destination, people: JSON.parse(readSample('people.json')) }
}

/** A person's session records as the home app exports them: NDJSON. */
export function sessionsOf(person: Person): string {
  return readSample(`sessions/${person.subject}.ndjson`)
}

function readSample(path: string): string {
  return readFileSync(join(packageRoot(), 'samples', path), 'utf8')
}
