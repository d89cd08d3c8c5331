import { resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { generateSessions } from '../../../samples/generator/generate-sessions.ts'
import { blocks } from '../../../src/core/basics/issue.ts'
import { validateResource } from '../../../src/core/validation/validate-resource.ts'
import { convertText } from '../../../src/flow/check/convert-record.ts'
import { callsPerSecondInTurn, type Measured, median } from '../measure.ts'
import { measuredProcess } from '../measured-process.ts'
import { registryValidators } from '../registry-validators.ts'

const OBSERVATIONS = 512
const GOAL_TIMES = 4
const GOAL_FASTER = 100
const FEW = 1_000
const MANY = 10_000
/** An entry of the larger bundle may take this many times as long. A local choice: caches are colder. */
const GOAL_LINEAR = 1.3
/** Milliseconds to refuse the worst of the hostile resources. A local choice. */
const GOAL_HOSTILE_MS = 500

/** Import of the built validator and its first call, in a process that has done nothing else. */
const PROCESS = `
const [built, resource] = process.argv.slice(1)
const start = performance.now()
const { validateResource } = await import(built)
const importMs = performance.now() - start
validateResource(JSON.parse(resource))
console.log(JSON.stringify({ importMs, firstCallMs: performance.now() - start - importMs }))
`

/**
 * Blood pressure Observations, fresh from JSON, through every layer, against JSON.stringify of the same ones and against
 * the fastest registry validator that checks profiles too; bundles of a thousand and of ten thousand; hostile input.
 */
export async function measureValidation(): Promise<Measured> {
  const texts = observationTexts()
  const observations: unknown[] = texts.map((text) => JSON.parse(text))
  for (const observation of observations) {
    const issue = validateResource(observation).find(blocks)
    if (issue !== undefined) throw new Error(`an Observation of ours is refused: ${issue.code} ${issue.at}`)
  }

  const [floorPerSecond, oursPerSecond] = callsPerSecondInTurn(
    eachInTurn(observations, (one) => JSON.stringify(one)),
    eachInTurn(observations, (one) => validateResource(one)),
  )
  const times = floorPerSecond / oursPerSecond
  const faster = Math.min(
    ...registryValidators()
      .filter(({ checksProfiles }) => checksProfiles)
      .map(({ refuses }) => timesFaster(observations, refuses)),
  )
  const many = bundleMs(texts, MANY)
  const few = bundleMs(texts, FEW)
  const linear = many / MANY / (few / FEW)
  const hostileMs = Math.max(...HOSTILE.map(refusalMs))
  const started = await measuredProcess<{ importMs: number; firstCallMs: number }>(PROCESS, [
    pathToFileURL(resolve(process.env.GATEWAY_DIST ?? 'dist', 'core/validation/validate-resource.js')).href,
    texts[0] ?? '',
  ])
  return {
    stage: 'validate',
    unit: 'Observations',
    floor: { what: 'JSON.stringify', perSecond: floorPerSecond },
    ours: { what: 'every layer: structure, invariants, profiles, codes', perSecond: oursPerSecond },
    goal: `within ${GOAL_TIMES} times the floor, ${GOAL_FASTER} times faster than a registry validator with profiles, linear, the hostile refused within ${GOAL_HOSTILE_MS} ms`,
    reached:
      times <= GOAL_TIMES && faster >= GOAL_FASTER && linear <= GOAL_LINEAR && hostileMs <= GOAL_HOSTILE_MS,
    also: {
      timesTheFloor: times,
      timesFasterThanRegistry: faster,
      importMs: started.importMs,
      firstCallMs: started.firstCallMs,
      msOf1000Entries: few,
      msOf10000Entries: many,
      perEntryLargerToSmaller: linear,
      slowestHostileMs: hostileMs,
    },
  }
}

/** Blood pressure readings of generated sessions, as they leave. */
function observationTexts(): readonly string[] {
  const context = {
    source: 'bench-app',
    canonicalBase: 'https://home-bp-gateway.example/fhir',
    person: undefined,
    receivedMs: Date.parse('2026-11-24T12:00:00Z'),
  }
  const texts: string[] = []
  for (const session of generateSessions({ seed: 7, count: OBSERVATIONS, subjects: 64 })) {
    const converted = convertText(JSON.stringify(session), context)
    if (!converted.ok) throw new Error(`a generated session was refused: ${converted.issues[0].code}`)
    const pressure = converted.value.observations.find((one) => one.component !== undefined)
    if (pressure !== undefined) texts.push(JSON.stringify(pressure))
  }
  return texts
}

function eachInTurn(observations: readonly unknown[], call: (one: unknown) => unknown): () => void {
  let next = 0
  return () => {
    call(observations[next++ % observations.length])
  }
}

function timesFaster(observations: readonly unknown[], refuses: (resource: unknown) => boolean): number {
  const [theirs, ours] = callsPerSecondInTurn(
    eachInTurn(observations, refuses),
    eachInTurn(observations, (one) => validateResource(one)),
  )
  return ours / theirs
}

/** Median milliseconds for a collection of so many Observations, each with a fullUrl of its own. */
function bundleMs(texts: readonly string[], entries: number): number {
  const entry = Array.from({ length: entries }, (_, i) => ({
    fullUrl: `urn:uuid:00000000-0000-4000-8000-${i.toString(16).padStart(12, '0')}`,
    resource: JSON.parse(texts[i % texts.length] ?? ''),
  }))
  const bundle = { resourceType: 'Bundle', type: 'collection', entry }
  return median(Array.from({ length: 5 }, () => refusalMs(bundle)))
}

function refusalMs(resource: unknown): number {
  const start = performance.now()
  validateResource(resource)
  return performance.now() - start
}

function nested(times: number, inside: unknown, around: (inner: unknown) => unknown): unknown {
  let value = inside
  for (let i = 0; i < times; i++) value = around(value)
  return value
}

const frame = { resourceType: 'Observation', status: 'final', code: { text: 'Blood pressure' } }
const div = (inside: string) => `<div xmlns="http://www.w3.org/1999/xhtml">${inside}</div>`

/** Deep, wide, long and recursive: all within what a JSON parser takes. */
const HOSTILE: readonly unknown[] = [
  { ...frame, extension: [nested(100_000, { url: 'u' }, (inner) => ({ url: 'u', extension: [inner] }))] },
  { ...frame, unknown: nested(100_000, 1, (inner) => [inner]) },
  nested(10_000, { resourceType: 'Bundle' }, (resource) => ({
    resourceType: 'Bundle',
    entry: [{ resource }],
  })),
  { ...frame, performer: Array.from({ length: 99_000 }, () => 5) },
  { ...frame, text: { status: 'generated', div: div('<b>'.repeat(300_000)) } },
  { ...frame, issued: '2'.repeat(1_000_000) },
]
