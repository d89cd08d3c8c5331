import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'

/** The codes of one code system, each with the codes directly above it. */
export interface CodeSystemContent {
  /** Whether these are all the codes there are: `content` is `complete`. */
  readonly isComplete: boolean
  /** Whether the codes above are held. */
  readonly hasHierarchy: boolean
  readonly parents: ReadonlyMap<string, readonly string[]>
}

/** Whether the system has the code; undefined when it may have codes that are not held. */
export function hasCode(system: CodeSystemContent | undefined, code: string): boolean | undefined {
  if (system === undefined) return undefined
  return system.parents.has(code) || (system.isComplete ? false : undefined)
}

/** Whether a code is the given one or stands below it; undefined when that cannot be told. */
export function isBelowOrSame(
  system: CodeSystemContent | undefined,
  code: string,
  above: string,
): boolean | undefined {
  const found = hasCode(system, code)
  if (system === undefined || !found) return found
  if (!system.hasHierarchy) return code === above ? true : undefined
  const seen = new Set<string>()
  const waiting = [code]
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    if (next === above) return true
    if (seen.has(next)) continue
    seen.add(next)
    waiting.push(...(system.parents.get(next) ?? []))
  }
  return false
}

/**
 * Reads a CodeSystem resource. Hierarchy is what is nested and what the properties `parent` and `subsumedBy` name.
 * Source: FHIR R4 4.0.1 codesystem.html, section on hierarchy, and codesystem-concept-properties.html.
 */
export function codeSystemContent(document: JsonObject): CodeSystemContent {
  const parents = new Map<string, readonly string[]>()
  const waiting = objectsOf(document.concept).map((concept) => ({ concept, above: [] as readonly string[] }))
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    const { concept, above } = next
    const { code } = concept
    if (typeof code !== 'string') continue
    parents.set(code, [...(parents.get(code) ?? []), ...above, ...statedParents(concept)])
    for (const child of objectsOf(concept.concept)) waiting.push({ concept: child, above: [code] })
  }
  return { isComplete: document.content === 'complete', hasHierarchy: true, parents }
}

function statedParents(concept: JsonObject): readonly string[] {
  return objectsOf(concept.property).flatMap(({ code, valueCode }) =>
    (code === 'parent' || code === 'subsumedBy') && typeof valueCode === 'string' ? [valueCode] : [],
  )
}

/** The CodeSystems among documents, by canonical URL. */
export function codeSystemsAmong(documents: readonly unknown[]): ReadonlyMap<string, CodeSystemContent> {
  const systems = new Map<string, CodeSystemContent>()
  for (const document of documents) {
    if (!isJsonObject(document) || document.resourceType !== 'CodeSystem') continue
    if (typeof document.url === 'string') systems.set(document.url, codeSystemContent(document))
  }
  return systems
}
