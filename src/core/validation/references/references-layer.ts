import { isJsonObject } from '../../basics/json-object.ts'
import type { MetReference, Report, Resource } from '../layer.ts'
import { adviseCondition } from './condition.ts'
import { checkContainedIds } from './contained-ids.ts'
import { adviseFullUrl, checkFullUrl } from './full-url.ts'
import { checkPlaceholders } from './placeholders.ts'
import { checkRequest } from './request.ts'
import { checkResponse } from './response.ts'
import { checkRootReferences } from './root-references.ts'
import { checkSearchEntry } from './search-entry.ts'
import { checkTargets } from './targets.ts'

/**
 * What holds between the entries of a bundle: their names, requests and responses, and the references among them; and the
 * names of contained resources. Asked when all the resources inside have passed the walk.
 *
 * @param referencesIn the references the walk met, by the resource of the entry they are in.
 */
export function referencesLayer(
  resource: Resource,
  at: string,
  report: Report,
  errorsOnly: boolean,
  referencesIn: ReadonlyMap<unknown, readonly MetReference[]>,
): void {
  if (resource.contained !== undefined) checkContainedIds(resource, at, report)
  if (resource.resourceType !== 'Bundle' || !Array.isArray(resource.entry)) return
  const entries: readonly unknown[] = resource.entry
  for (let i = 0; i < entries.length; i++) {
    const entry = entries[i]
    if (!isJsonObject(entry)) continue
    checkFullUrl(entry, `${at}.entry[${i}]`, report)
    if (!errorsOnly) adviseFullUrl(entry, resource.type, `${at}.entry[${i}]`, report)
    if (resource.type === 'searchset') checkSearchEntry(entry, `${at}.entry[${i}]`, report)
    checkResponse(entry.response, `${at}.entry[${i}]`, report)
    if (!isJsonObject(entry.request)) continue
    checkRequest(entry.request, entry.resource, resource.type, `${at}.entry[${i}]`, report)
    if (!errorsOnly) adviseCondition(entry.request, entry.resource, `${at}.entry[${i}]`, report)
  }
  if (resource.type === 'transaction') checkTargets(entries, at, report)
  if (resource.type === 'document' || resource.type === 'message')
    checkRootReferences(resource.type, entries, at, report)
  checkPlaceholders(resource, entries, at, report, errorsOnly, referencesIn)
}
