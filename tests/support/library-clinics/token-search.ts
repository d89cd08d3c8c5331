import type { KeptResource } from './kept-versions.ts'

/** Search parameters by which kept resources can be found, all of them tokens, by type. */
export const SEARCHED_BY: Readonly<Record<string, readonly string[]>> = {
  Device: ['_id', '_tag', 'identifier'],
  Observation: ['_id', '_tag', 'identifier', 'code'],
  Patient: ['_id', '_tag', 'identifier'],
  Provenance: ['_id', '_tag'],
}

/** Answers that are about the search and not about what is searched. */
const OF_THE_ANSWER = new Set(['_count', '_format'])

/** A parameter that a type cannot be searched by, by its name. */
export class NotSearchable extends Error {
  override readonly name = 'NotSearchable'
}

/**
 * Those of a type that every parameter finds. Values joined by commas are alternatives.
 * Source: FHIR R4 4.0.1 search.html, token.
 *
 * @throws NotSearchable for a parameter that the type does not have: R4 lets a server refuse what it does not know.
 */
export function foundByTokens(
  resources: readonly KeptResource[],
  type: string,
  query: Readonly<Record<string, unknown>>,
): readonly KeptResource[] {
  const asked = Object.entries(query).filter(([parameter]) => !OF_THE_ANSWER.has(parameter))
  for (const [parameter] of asked) {
    if (SEARCHED_BY[type]?.includes(parameter) !== true) throw new NotSearchable(parameter)
  }
  return resources.filter((resource) =>
    asked.every(([parameter, value]) =>
      String(value)
        .split(',')
        .some((token) => tokensOf(resource, parameter).includes(token)),
    ),
  )
}

function tokensOf(resource: KeptResource, parameter: string): readonly string[] {
  switch (parameter) {
    case '_id':
      return [resource.id]
    case '_tag':
      return objects(resource.meta.tag).map(({ system, code }) => `${system}|${code}`)
    case 'identifier':
      return objects(resource.identifier).map(({ system, value }) => `${system}|${value}`)
    default:
      return objects(Object(resource.code).coding).map(({ system, code }) => `${system}|${code}`)
  }
}

function objects(list: unknown): readonly Readonly<Record<string, unknown>>[] {
  return Array.isArray(list) ? list : []
}
