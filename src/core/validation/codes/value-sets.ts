import { isJsonObject } from '../../basics/json-object.ts'
import { type CodeSystemContent, codeSystemsAmong } from './code-system-content.ts'
import { composition, type Known } from './composition.ts'
import { inAny, type Membership, ofSystem, UNKNOWN } from './membership.ts'
import { CODE_SYSTEMS, VALUE_SETS } from './published-codes.generated.js'

/** Which codes are in which value sets and code systems, as far as that is known without a terminology server. */
export interface ValueSets {
  /**
   * Whether a code is in a value set; undefined when the value set, this version of it, or a code system it draws
   * from is not held.
   *
   * @param valueSet canonical URL, with or without a version: `http://hl7.org/fhir/ValueSet/observation-status|4.0.1`.
   * @param system of the coding; `''` when it states none. Undefined for an element of type `code`, whose system is
   *   whichever the value set draws the code from.
   */
  readonly holds: (valueSet: string, system: string | undefined, code: string) => boolean | undefined
  /** The codes of a code system, if it is held. */
  readonly codeSystem: (url: string) => CodeSystemContent | undefined
}

/** Those of R4 4.0.1 that the types we speak are bound to, and those the vital signs profiles add. */
export const PUBLISHED_VALUE_SETS: ValueSets = publishedValueSets()

/**
 * Reads ValueSet and CodeSystem resources. What is no such resource is passed over, and what a composition says
 * beyond lists, whole code systems, other value sets and filters by hierarchy makes its answer undefined.
 *
 * @param base what else is known, and may be referred to. A document of the same URL takes its place.
 */
export function readValueSets(documents: readonly unknown[], base = PUBLISHED_VALUE_SETS): ValueSets {
  const systems = codeSystemsAmong(documents)
  const sets = new Map<string, Held>()
  const known: Known = {
    codeSystem: (url) => systems.get(url) ?? base.codeSystem(url),
    valueSet: (canonical) => (system, code) => holds(canonical, system, code),
  }
  for (const document of documents) {
    if (!isJsonObject(document) || document.resourceType !== 'ValueSet') continue
    const { url, version } = document
    if (typeof url !== 'string') continue
    sets.set(url, { version, membership: withoutCircles(composition(document, known)) })
  }
  const holds: ValueSets['holds'] = (canonical, system, code) => {
    const held = heldAs(sets, canonical)
    return held === undefined ? base.holds(canonical, system, code) : held(system, code)
  }
  return { holds, codeSystem: known.codeSystem }
}

interface Held {
  readonly version: unknown
  readonly membership: Membership
}

function heldAs(sets: ReadonlyMap<string, Held>, canonical: string): Membership | undefined {
  const bar = canonical.indexOf('|')
  if (bar === -1) return sets.get(canonical)?.membership
  const held = sets.get(canonical.slice(0, bar))
  return held?.version === canonical.slice(bar + 1) ? held?.membership : undefined
}

/** A value set that is defined by itself, by way of others, has no answer. */
function withoutCircles(membership: Membership): Membership {
  let asking = false
  return (system, code) => {
    if (asking) return undefined
    asking = true
    const answer = membership(system, code)
    asking = false
    return answer
  }
}

function publishedValueSets(): ValueSets {
  const systems = new Map<string, CodeSystemContent>()
  for (const [url, codes] of Object.entries(CODE_SYSTEMS)) {
    const parents = new Map(Object.keys(codes).map((code) => [code, []]))
    systems.set(url, { isComplete: true, hasHierarchy: false, parents })
  }
  const sets = new Map<string, Held>()
  for (const [url, [version, parts]] of Object.entries(VALUE_SETS)) {
    const members = Object.entries(parts).map(([system, codes]) => ofPart(system, codes, systems.get(system)))
    sets.set(url, { version, membership: inAny(members) })
  }
  return {
    holds: (canonical, system, code) => (heldAs(sets, canonical) ?? UNKNOWN)(system, code),
    codeSystem: (url) => systems.get(url),
  }
}

function ofPart(
  system: string,
  codes: readonly string[] | 'all' | 'unknown',
  content: CodeSystemContent | undefined,
): Membership {
  if (codes === 'unknown') return ofSystem(system, () => undefined)
  if (codes === 'all') return ofSystem(system, (code) => content?.parents.has(code))
  const set = new Set(codes)
  return ofSystem(system, (code) => set.has(code))
}
