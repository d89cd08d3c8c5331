import type { Issue } from '../../basics/issue.ts'
import type { Layer } from '../layer.ts'
import { plansFor } from './applicable-plans.ts'
import { claimIssues } from './claim-issues.ts'
import { holdExtensions } from './hold-extensions.ts'
import { Judgement } from './judgement.ts'
import { PUBLISHED_PROFILES } from './published-profiles.ts'

/**
 * Holds a resource to the profiles that are for its code, that it claims in `meta.profile`, and that were asked for; and
 * its extensions to their definitions. What a profile demands and nobody here can judge is named once for each.
 */
export const profilesLayer: Layer = (resource, at, report, errorsOnly, setting, extensions) => {
  const { options, container } = setting
  const set = options.profiles ?? PUBLISHED_PROFILES
  if (!errorsOnly || resource.meta !== undefined || options.asked !== undefined)
    for (const issue of claimIssues(resource, at, set, setting)) report(issue)
  const judgement = new Judgement(set, resource, setting, errorsOnly)
  const plans = plansFor(resource, set, container === undefined ? options.asked : undefined)
  for (let i = 0; i < plans.length; i++) {
    const plan = plans[i]
    if (plan !== undefined) judgement.hold(resource, plan, at)
  }
  holdExtensions(extensions, resource, at, judgement, report)
  for (const issue of judgement.issues()) report(issue)
  for (const [name, what] of judgement.unjudged()) report(notJudged(at, name, what))
}

function notJudged(at: string, rule: string, what: ReadonlySet<string>): Issue {
  return {
    severity: 'information',
    type: 'informational',
    code: 'NOT_SUPPORTED',
    at,
    expected: `to judge all of ${rule}; not judged is ${[...what].join('; ')}`,
    remedy: 'Have this looked at by other means: nothing speaks for it or against it here.',
    rule,
  }
}
