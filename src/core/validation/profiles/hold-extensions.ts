import type { Issue } from '../../basics/issue.ts'
import { isJsonObject, type JsonObject } from '../json-object.ts'
import type { Resource } from '../layer.ts'
import { extensionPlace, isContext } from './extension-place.ts'
import { eachExtension } from './extension-walk.ts'
import type { Judgement } from './judgement.ts'
import type { ProfilePlan } from './profile-plan.ts'

/**
 * Holds each extension of a resource whose URL is a StructureDefinition of the set to it, and to where it may stand.
 * Extensions nobody here knows are welcome; of modifier extensions that is said, since they change what the rest means.
 */
export function holdExtensions(
  resource: Resource,
  at: string,
  judgement: Judgement,
  report: (issue: Issue) => void,
): void {
  const { set, errorsOnly } = judgement
  eachExtension(resource, (extension, isModifier, keys, indexes) => {
    const { url } = extension
    const plan = typeof url === 'string' && set.urls.has(url) ? set.plan(url) : undefined
    if (plan?.type === 'Extension') {
      const place = extensionPlace(resource.resourceType, at, keys, indexes)
      judgement.hold(extension, plan, place.at)
      const stands = standsWell(plan, place, keys, indexes, resource)
      if (stands === false) report(wrongContext(place.at, plan))
    } else if (isModifier && !errorsOnly) {
      report(unknownModifier(extensionPlace(resource.resourceType, at, keys, indexes).at))
    }
  })
}

function standsWell(
  { contexts }: ProfilePlan,
  place: ReturnType<typeof extensionPlace>,
  keys: readonly string[],
  indexes: readonly number[],
  resource: JsonObject,
): boolean | undefined {
  if (contexts.length === 0) return undefined
  let answer: boolean | undefined = false
  for (const context of contexts) {
    const parentUrl = context.type === 'extension' ? urlOfParent(keys, indexes, resource) : undefined
    const stands = isContext(context, place, parentUrl)
    if (stands === true) return true
    if (stands === undefined) answer = undefined
  }
  return answer
}

function urlOfParent(keys: readonly string[], indexes: readonly number[], resource: JsonObject): unknown {
  let element: unknown = resource
  for (let i = 0; i < keys.length - 1; i++) {
    const inner: unknown = isJsonObject(element) ? element[keys[i] ?? ''] : undefined
    element = Array.isArray(inner) ? inner[indexes[i] ?? 0] : inner
  }
  return isJsonObject(element) ? element.url : undefined
}

function wrongContext(at: string, { name, contexts }: ProfilePlan): Issue {
  return {
    severity: 'error',
    type: 'extension',
    code: 'PROFILE',
    at,
    expected: `this extension only on ${contexts.map(({ expression }) => expression).join(', ')}`,
    remedy: 'Move it to an element it is defined for.',
    rule: name,
  }
}

function unknownModifier(at: string): Issue {
  return {
    severity: 'warning',
    type: 'extension',
    code: 'PROFILE',
    at,
    expected: 'a modifier extension that is known here: it may change what the rest of the element means',
    remedy: 'Put its StructureDefinition into the profiles folder, or send what needs no modifier.',
    rule: 'modifier-extension',
  }
}
