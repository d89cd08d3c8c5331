import type { CodeSystem, CodeSystemConcept, ValueSet } from 'fhir/r4.js'
import { readValueSets, type ValueSets } from '../value-sets.ts'
import { publishedBindings } from './bindings.ts'
import { type PublishedDefinitions, publishedDefinitions } from './published-definitions.ts'

/** What `published-codes.generated.d.ts` describes. */
export interface CodeTables {
  readonly codeSystems: Readonly<Record<string, Readonly<Record<string, string>>>>
  readonly valueSets: Readonly<Record<string, readonly [version: string, parts: Record<string, Part>]>>
  readonly extensible: readonly (readonly [type: string, property: string, valueSet: string])[]
  readonly moved: readonly string[]
}

type Part = readonly string[] | 'all' | 'unknown'

/** Value sets that vital signs profiles bind, or that say which codes an element is best given. */
const ALSO = [
  'observation-category',
  'observation-statistics',
  'observation-vitalsignresult',
  'ucum-vitals-common',
].map((name) => `http://hl7.org/fhir/ValueSet/${name}`)

/** A code system of more codes is not held: what value sets take from it is. */
const MOST_CODES = 160

/** HL7's own, of which R4 publishes every code there was. DICOM's grows by itself. */
const OWNER = /^http:\/\/(?:terminology\.)?hl7\.org\//

export function codeTables(): CodeTables {
  const published = publishedDefinitions()
  const bindings = publishedBindings(published)
  const urls = [...new Set([...bindings.map(({ valueSet }) => valueSet), ...ALSO])].sort()
  const known = readValueSets([...published.valueSets.values(), ...published.codeSystems.values()])
  const codeSystems: Record<string, Record<string, string>> = {}
  const valueSets: Record<string, [string, Record<string, Part>]> = {}
  for (const url of urls) {
    const set = published.valueSets.get(url)
    if (set === undefined) throw new Error(`No definition of ${url}`)
    const parts: Record<string, Part> = {}
    for (const system of systemsOf(set, published)) {
      const definition = published.codeSystems.get(system)
      const codes = definition === undefined ? undefined : displaysOf(definition)
      if (codes !== undefined && isHeld(definition, codes)) codeSystems[system] = codes
      parts[system] = partOf(url, system, set, codes, known, system in codeSystems)
    }
    valueSets[url] = [set.version ?? '', parts]
  }
  return {
    codeSystems: sorted(codeSystems),
    valueSets,
    extensible: bindings
      .filter(({ strength, of }) => strength === 'extensible' && of.every((type) => CODED.includes(type)))
      .filter(({ of }) => of.length > 0)
      .map(({ type, property, valueSet }) => [type, property, valueSet]),
    moved: movedNames(published),
  }
}

/** Names of the code systems that R4 has under terminology.hl7.org and not under hl7.org; `v2-` and `v3-` ones show it. */
function movedNames({ codeSystems }: PublishedDefinitions): readonly string[] {
  return [...codeSystems.keys()]
    .filter((url) => url.startsWith(PRESENT))
    .map((url) => url.slice(PRESENT.length))
    .filter((name) => !/^v[23]-/.test(name) && !codeSystems.has(`http://hl7.org/fhir/${name}`))
    .sort()
}

const PRESENT = 'http://terminology.hl7.org/CodeSystem/'

const CODED = ['Coding', 'CodeableConcept']

function isHeld(definition: CodeSystem | undefined, codes: Readonly<Record<string, string>>): boolean {
  return (
    definition?.content === 'complete' &&
    OWNER.test(definition.url ?? '') &&
    Object.keys(codes).length <= MOST_CODES
  )
}

/** Every code system a value set draws from, by way of others too. */
function systemsOf(set: ValueSet, published: PublishedDefinitions): ReadonlySet<string> {
  const systems = new Set<string>()
  const visit = (visited: ValueSet): void => {
    for (const { system, valueSet = [] } of visited.compose?.include ?? []) {
      if (system !== undefined) systems.add(system)
      for (const url of valueSet) {
        const other = published.valueSets.get(url)
        if (other === undefined) throw new Error(`No definition of ${url}`)
        visit(other)
      }
    }
  }
  visit(set)
  return systems
}

/** The codes a value set takes from one system, found by asking our own reader about every one of them. */
function partOf(
  url: string,
  system: string,
  set: ValueSet,
  codes: Readonly<Record<string, string>> | undefined,
  known: ValueSets,
  isHere: boolean,
): Part {
  const listed = (set.compose?.include ?? []).flatMap((include) =>
    include.system === system ? (include.concept ?? []).map(({ code }) => code) : [],
  )
  const candidates = [...new Set([...Object.keys(codes ?? {}), ...listed])]
  const answers = candidates.map((code) => known.holds(url, system, code))
  const beyond = known.holds(url, system, 'a code that is not there')
  if (beyond === undefined || answers.includes(undefined)) return 'unknown'
  const inside = candidates.filter((_, index) => answers[index])
  return isHere && inside.length === candidates.length ? 'all' : inside
}

function displaysOf(system: CodeSystem): Record<string, string> {
  const displays: Record<string, string> = {}
  const visit = (concept: CodeSystemConcept): void => {
    displays[concept.code] = concept.display ?? ''
    concept.concept?.forEach(visit)
  }
  system.concept?.forEach(visit)
  return displays
}

function sorted<T>(members: Readonly<Record<string, T>>): Record<string, T> {
  return Object.fromEntries(Object.entries(members).sort(([one], [other]) => (one < other ? -1 : 1)))
}
