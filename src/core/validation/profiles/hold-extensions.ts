import type { Issue } from '../../basics/issue.ts'
import type { MetExtension, Resource } from '../layer.ts'
import { ExtensionPlace, isContext } from './extension-place.ts'
import type { Judgement } from './judgement.ts'
import type { ProfilePlan } from './profile-plan.ts'

/**
 * Holds each extension of a resource whose URL is a StructureDefinition of the set to it, and to where it may stand.
 * Extensions nobody here knows are welcome; of modifier extensions that is said, since they change what the rest means.
 */
export function holdExtensions(
  extensions: readonly MetExtension[],
  resource: Resource,
  at: string,
  judgement: Judgement,
  report: (issue: Issue) => void,
): void {
  const { set, errorsOnly } = judgement
  for (const { value, isModifier, steps } of extensions) {
    const { url } = value
    const plan = typeof url === 'string' && set.urls.has(url) ? set.plan(url) : undefined
    if (plan?.type === 'Extension') {
      const place = new ExtensionPlace(resource, at, steps)
      if (!judgement.isSettled(value, plan)) judgement.hold(value, plan, place.at)
      if (standsWell(plan, place) === false) report(wrongContext(place.at, plan))
    } else if (isModifier && !errorsOnly) {
      report(unknownModifier(new ExtensionPlace(resource, at, steps).at))
    }
  }
}

function standsWell({ contexts }: ProfilePlan, place: ExtensionPlace): boolean | undefined {
  if (contexts.length === 0) return undefined
  let answer: boolean | undefined = false
  for (const context of contexts) {
    const stands = isContext(context, place)
    if (stands === true) return true
    if (stands === undefined) answer = undefined
  }
  return answer
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
