import type { Issue, IssueType } from '../../basics/issue.ts'
import type { Source } from './element-rules.ts'

/** One fault, with what is needed to tell it from the same fault seen by another profile. */
export interface Finding {
  readonly issue: Issue
  /** What is wrong, as a key: two findings at one place of one kind are one fault. */
  readonly kind: string
  /** Distance of the profile that states the rule from R4. */
  readonly rank: number
}

export function finding(
  kind: string,
  type: IssueType,
  by: Source,
  at: string,
  expected: string,
  remedy: string,
): Finding {
  const issue: Issue = { severity: 'error', type, code: 'PROFILE', at, expected, remedy, rule: by.name }
  return { issue, kind, rank: by.rank }
}

export function softened(found: Finding, severity: 'warning' | 'information'): Finding {
  return { ...found, issue: { ...found.issue, severity } }
}

/**
 * Each fault once: of profiles that say the same of one place, the one next to R4 is named. A fault seen in a part
 * speaks for the whole: a value outside a value set is not named again beside its wrong code, nor a missing coding
 * beside the pattern that asks for it.
 */
export function settled(findings: readonly Finding[]): readonly Issue[] {
  const first = new Map<string, Finding>()
  for (const found of findings) {
    const key = `${found.issue.at} ${found.kind}`
    const known = first.get(key)
    if (known === undefined || found.rank < known.rank) first.set(key, found)
  }
  const all = [...first.values()]
  return all.filter((one) => !all.some((other) => speaksFor(other, one))).map(({ issue }) => issue)
}

function speaksFor(other: Finding, one: Finding): boolean {
  if (other === one || !other.issue.at.startsWith(`${one.issue.at}.`)) return false
  if (one.kind.startsWith('binding '))
    return other.issue.severity === 'error' && /^(?:fixed|required)/.test(other.kind)
  return one.kind.startsWith('pattern ') && other.kind === one.kind.replace('pattern ', 'slice ')
}
