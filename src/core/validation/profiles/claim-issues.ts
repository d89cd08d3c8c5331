import { isAbsoluteUri } from '../../basics/absolute-uri.ts'
import type { Issue } from '../../basics/issue.ts'
import { isJsonObject } from '../../basics/json-object.ts'
import type { Resource, Setting } from '../layer.ts'
import { R4_BASE } from '../r4-base.ts'
import { urlsByCode } from './applicable-plans.ts'
import type { ProfileSet } from './profile-set.ts'
import { lastSegment, withoutVersion } from './structure-definition.ts'

/** What is to be said of the profiles themselves that a resource claims, is asked for or falls under by its code. */
export function claimIssues(
  resource: Resource,
  at: string,
  set: ProfileSet,
  { options, container }: Setting,
): readonly Issue[] {
  const issues: Issue[] = []
  const { meta } = resource
  const claimed: readonly unknown[] = isJsonObject(meta) && Array.isArray(meta.profile) ? meta.profile : []
  for (let i = 0; i < claimed.length; i++) {
    const url = claimed[i]
    // Most claims are of what is known, and need no second look.
    if (typeof url !== 'string' || set.definition(url)?.type === resource.resourceType) continue
    issues.push(...about(url, `${at}.meta.profile[${i}]`, resource, set, false))
  }
  if (container === undefined)
    for (const url of options.asked ?? []) issues.push(...about(url, at, resource, set, true))
  for (const url of urlsByCode(resource))
    if (!set.urls.has(url))
      issues.push(notKnown(at, url, lastSegment(url), 'The profile for this code is not among those loaded.'))
  return issues
}

function about(
  canonical: string,
  at: string,
  resource: Resource,
  set: ProfileSet,
  isAsked: boolean,
): readonly Issue[] {
  const url = withoutVersion(canonical)
  const definition = set.definition(url)
  const name = lastSegment(url)
  const version = canonical.slice(url.length + 1)
  const ofR4 = definition === undefined && url === R4_BASE + name && /^[A-Z]/.test(name) ? name : undefined
  const type = definition?.type ?? ofR4
  if (type === undefined) {
    const remedy = 'Put its StructureDefinition into the profiles folder to have it judged.'
    return isAsked ? [askedUnknown(at, url)] : [notKnown(at, url, undefined, remedy)]
  }
  if (type !== resource.resourceType && !ABOVE.has(type)) return [otherType(at, name, type)]
  const known = definition?.version
  if (version === '' || known === undefined || version === known) return NONE
  return [otherVersion(at, name, known, isAsked)]
}

const NONE: readonly Issue[] = []

const ABOVE: ReadonlySet<string> = new Set(['Resource', 'DomainResource'])

/** How much of a profile's URL is shown. */
const LONGEST_SHOWN = 200

/** The profile as it is named: its URL, as far as it is one. Nothing else that is written there is repeated. */
function shownUrl(url: string): string {
  if (!isAbsoluteUri(url)) return 'what is written here, which is no absolute URL,'
  return url.length > LONGEST_SHOWN ? `${url.slice(0, LONGEST_SHOWN)}…` : url
}

function askedUnknown(at: string, url: string): Issue {
  return {
    severity: 'error',
    type: 'not-supported',
    code: 'PROFILE',
    at,
    expected: `a profile that is known here, to hold the resource to: ${shownUrl(url)} is not`,
    remedy: 'Put its StructureDefinition into the profiles folder, or ask for another.',
    rule: 'profile',
  }
}

/** A profile nobody here knows is named, so that no silence is taken for consent. */
function notKnown(at: string, url: string, rule: string | undefined, remedy: string): Issue {
  return {
    severity: 'information',
    type: 'not-supported',
    code: 'PROFILE',
    at,
    expected: `a profile that is known here: ${shownUrl(url)} is not, and nothing of it was judged`,
    remedy,
    rule: rule ?? 'profile',
  }
}

function otherType(at: string, name: string, type: string): Issue {
  return {
    severity: 'error',
    type: 'invalid',
    code: 'PROFILE',
    at,
    expected: `a profile of this resource type: ${name} is for ${type}`,
    remedy: 'Name a profile for this type.',
    rule: name,
  }
}

/** A version that was asked for and is not here leaves the question open; one that is claimed is judged by the one here. */
function otherVersion(at: string, name: string, known: string, isAsked: boolean): Issue {
  return {
    severity: isAsked ? 'error' : 'information',
    type: isAsked ? 'not-supported' : 'informational',
    code: 'PROFILE',
    at,
    expected: `version ${known}, by which ${name} was judged`,
    remedy: 'Read the verdict as one of that version.',
    rule: name,
  }
}
