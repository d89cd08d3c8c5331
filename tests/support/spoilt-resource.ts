import { blocks } from '../../src/core/basics/issue.ts'
import { validateResource } from '../../src/core/validation/validate-resource.ts'

/** What stops the resource, as "CODE rule at". */
export function problems(resource: unknown): string[] {
  return validateResource(resource)
    .filter(blocks)
    .map(({ code, rule, at }) =>
      [code, rule, at].filter((part) => part !== undefined && part !== '').join(' '),
    )
}

/** The resource with the value at a path of keys and indices replaced, or removed when undefined. */
export function spoilt(resource: unknown, path: string, value?: unknown): unknown {
  const copy: unknown = JSON.parse(JSON.stringify(resource))
  const steps = path.split('.')
  const last = steps.pop() ?? ''
  let holder = copy as Record<string, unknown>
  for (const step of steps) holder = holder[step] as Record<string, unknown>
  if (value !== undefined) holder[last] = value
  else if (Array.isArray(holder)) holder.splice(Number(last), 1)
  else delete holder[last]
  return copy
}
