import { isJsonObject } from '../../basics/json-object.ts'
import { readValueSets, type ValueSets } from '../codes/value-sets.ts'
import { makeProfileSet } from './make-profile-set.ts'
import type { ProfileSet } from './profile-set.ts'
import { PUBLISHED_DOCUMENTS } from './published-documents.generated.js'
import { type Definition, readDefinition } from './structure-definition.ts'

/**
 * The profiles and extensions that ship: of R4, of US Core and our own, under the default canonical base. Each is read
 * when it is first needed. Without an evaluator: constraints that have no code of ours are named as not judged.
 */
export const PUBLISHED_PROFILES: ProfileSet = publishedProfiles()

function publishedProfiles(): ProfileSet {
  const texts = new Map<string, string>()
  for (const [resourceType, url, json] of PUBLISHED_DOCUMENTS)
    if (resourceType === 'StructureDefinition') texts.set(url, json)
  const read = new Map<string, Definition | undefined>()
  const definition = (url: string): Definition | undefined => {
    const text = read.has(url) ? undefined : texts.get(url)
    if (text !== undefined) read.set(url, definitionIn(text))
    return read.get(url)
  }
  return makeProfileSet(new Set(texts.keys()), definition, valueSetsOnDemand(), undefined)
}

function definitionIn(text: string): Definition | undefined {
  const document: unknown = JSON.parse(text)
  if (!isJsonObject(document)) return undefined
  return readDefinition(document, '', ({ at, expected }) => {
    throw new Error(`${String(document.url)} ships and cannot be read: ${at}, ${expected}`)
  })
}

function valueSetsOnDemand(): ValueSets {
  let made: ValueSets | undefined
  const valueSets = (): ValueSets => {
    made ??= readValueSets(
      PUBLISHED_DOCUMENTS.filter(([resourceType]) => resourceType !== 'StructureDefinition').map(
        ([, , json]): unknown => JSON.parse(json),
      ),
    )
    return made
  }
  return {
    holds: (valueSet, system, code) => valueSets().holds(valueSet, system, code),
    codeSystem: (url) => valueSets().codeSystem?.(url),
  }
}
