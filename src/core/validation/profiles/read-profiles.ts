import type { Issue } from '../../basics/issue.ts'
import { isJsonObject } from '../../basics/json-object.ts'
import { isNonEmpty, ok, type Result, refused } from '../../basics/result.ts'
import { PUBLISHED_VALUE_SETS, readValueSets, type ValueSets } from '../codes/value-sets.ts'
import type { ConstraintEvaluator } from './constraint-evaluator.ts'
import { makeProfileSet } from './make-profile-set.ts'
import type { ProfileSet } from './profile-set.ts'
import { type Definition, documentProblem, readDefinition } from './structure-definition.ts'

export interface ReadProfilesOptions {
  /** A set the documents are added to. A document of a URL that it has takes the place of that one. */
  readonly base?: ProfileSet
  /** Default: that of the base. */
  readonly evaluator?: ConstraintEvaluator
  /** What is known of codes, beside the documents. Default: those of the base, else those that ship. */
  readonly valueSets?: ValueSets
}

/**
 * A set of profiles and extensions from StructureDefinition, ValueSet and CodeSystem documents, or every reason why one
 * of them cannot be read, placed by the document's position: `[2].differential.element[4].path`.
 *
 * Nothing is put together until it is first used, so a large set costs little to start with.
 */
export function readProfiles(
  documents: readonly unknown[],
  options: ReadProfilesOptions = {},
): Result<ProfileSet> {
  const { base } = options
  const issues: Issue[] = []
  const definitions = new Map<string, Definition>()
  for (const [i, document] of documents.entries()) {
    const resourceType = isJsonObject(document) ? document.resourceType : undefined
    if (!isJsonObject(document) || !READ.has(resourceType)) {
      issues.push(documentProblem(`[${i}]`, 'a StructureDefinition, ValueSet or CodeSystem'))
    } else if (resourceType === 'StructureDefinition') {
      const read = readDefinition(document, `[${i}]`, (issue) => issues.push(issue))
      if (read !== undefined) definitions.set(read.url, read)
    }
  }
  if (isNonEmpty(issues)) return refused(issues)
  const valueSets = readValueSets(documents, options.valueSets ?? base?.valueSets ?? PUBLISHED_VALUE_SETS)
  const urls = new Set([...(base?.urls ?? []), ...definitions.keys()])
  const find = (url: string) => definitions.get(url) ?? base?.definition(url)
  return ok(makeProfileSet(urls, find, valueSets, options.evaluator ?? base?.evaluator))
}

const READ: ReadonlySet<unknown> = new Set(['StructureDefinition', 'ValueSet', 'CodeSystem'])
