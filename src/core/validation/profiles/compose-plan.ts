import { R4_BASE } from '../r4-base.ts'
import { type ElementRules, rootRules, type Source } from './element-rules.ts'
import { finishRules } from './finish-rules.ts'
import { mergeElement } from './merge-element.ts'
import type { ProfilePlan } from './profile-plan.ts'
import { r4Elements } from './r4-elements.ts'
import type { Known } from './slice-membership.ts'
import {
  type Definition,
  type ElementDefinition,
  lastSegment,
  withoutVersion,
} from './structure-definition.ts'

/**
 * Puts a profile together with those it derives from: the differentials one over the other, from R4 outwards. Where one
 * of them is not known, the snapshot of its successor says what it demands; without one, that is named as not enforced.
 */
export function composePlan(
  definition: Definition,
  find: (url: string) => Definition | undefined,
  holds: Known['holds'],
): ProfilePlan {
  const gaps = new Set<string>()
  const chain = chainOf(definition, find, gaps)
  const root = rootRules(definition.type)
  if (r4Elements(definition.type) === undefined)
    gaps.add(`anything of it: the type ${definition.type} is not validated here`)
  else
    for (const [i, { of, elements }] of chain.entries()) {
      const by: Source = { name: of.name, rank: i + 1 }
      mergeAll(root, elements, by, gaps)
    }
  finishRules(root, gaps, { holds, typeOf: (profile) => find(profile)?.type })
  const { url, version, name, type, contexts } = definition
  for (const context of contexts) {
    if (context.type === 'fhirpath') gaps.add('where the extension may stand: its context is a FHIRPath')
  }
  const lineage = new Set(chain.map(({ of }) => of.url))
  return { url, version, name, type, root, lineage, contexts, unenforced: [...gaps] }
}

interface Link {
  readonly of: Definition
  readonly elements: readonly ElementDefinition[]
}

/** The definition and its bases, the one next to R4 first. */
function chainOf(
  definition: Definition,
  find: (url: string) => Definition | undefined,
  gaps: Set<string>,
): readonly Link[] {
  const links: Link[] = []
  const seen = new Set<Definition>()
  let of: Definition | undefined = definition
  while (of !== undefined) {
    seen.add(of)
    const { base, differential, snapshot, name }: Definition = of
    const parent: Definition | undefined = base === undefined ? undefined : find(withoutVersion(base))
    const isOnR4 = base === undefined || base === R4_BASE + of.type
    if (parent === undefined && !isOnR4 && snapshot.length > 0) {
      links.unshift({ of, elements: snapshot })
      return links
    }
    links.unshift({ of, elements: differential.length > 0 ? differential : snapshot })
    if (isOnR4) return links
    if (parent === undefined || seen.has(parent) || parent.type !== of.type) {
      gaps.add(`what ${name} takes from ${lastSegment(base)}, which is not known here`)
      return links
    }
    of = parent
  }
  return links
}

function mergeAll(
  root: ElementRules,
  elements: readonly ElementDefinition[],
  by: Source,
  gaps: Set<string>,
): void {
  /** The slice last opened at each path, for definitions whose elements have no ids. */
  const open = new Map<string, string>()
  for (const element of elements) {
    const rules = locate(root, element, open, by, gaps)
    if (rules === undefined) gaps.add(`the rules of ${element.path}, which R4 does not know`)
    else mergeElement(rules, element.json, by, gaps)
  }
}

/** The rules an element definition is about: by its id where that agrees with its path, else by the order. */
function locate(
  root: ElementRules,
  { path, json }: ElementDefinition,
  open: Map<string, string>,
  by: Source,
  gaps: Set<string>,
): ElementRules | undefined {
  const steps = path.split('.')
  const names = slicesById(json.id, steps) ?? slicesByOrder(path, json.sliceName, open)
  let rules: ElementRules | undefined = root
  for (let i = 1; i < steps.length && rules !== undefined; i++) {
    rules = step(rules, steps[i] ?? '', by)
    const sliceName = names[i]
    if (rules === undefined || sliceName === undefined) continue
    if (sliceName.includes('/'))
      gaps.add(`the slice ${sliceName} of ${path} by itself: it is a slice of a slice`)
    rules = rules.slice(sliceName)
    narrowByName(rules, sliceName, by)
  }
  return rules
}

function step(rules: ElementRules, written: string, by: Source): ElementRules | undefined {
  const child = rules.child(written.replace('[x]', ''))
  if (child !== undefined) return child
  // `valueQuantity` is short for `value[x]` with the one type Quantity. Source: FHIR R4 4.0.1, profiling.html, 5.1.0.14.
  const { type } = rules
  for (const [name, element] of (type === undefined ? undefined : r4Elements(type)) ?? []) {
    const variant = element.isChoice ? element.variants.find(({ key }) => key === written) : undefined
    const narrowed = variant === undefined ? undefined : rules.child(name)
    if (variant === undefined || narrowed === undefined) continue
    if (narrowed.type !== variant.type) narrowed.types = { value: [variant.type], by }
    return narrowed
  }
  return undefined
}

/** A slice of a choice may say its type by its name alone. */
function narrowByName(slice: ElementRules, sliceName: string, by: Source): void {
  if (slice.element?.isChoice !== true || slice.types !== undefined) return
  const variant = slice.variants.find(({ key }) => key === sliceName)
  if (variant !== undefined) slice.types = { value: [variant.type], by }
}

/** The slice named at each step of an id such as `Observation.component:SystolicBP.code`. */
function slicesById(id: unknown, steps: readonly string[]): readonly (string | undefined)[] | undefined {
  if (typeof id !== 'string') return undefined
  const parts = id.split('.').map((part) => {
    const colon = part.indexOf(':')
    return colon === -1 ? [part] : [part.slice(0, colon), part.slice(colon + 1)]
  })
  if (parts.length !== steps.length || parts.some(([name], i) => name !== steps[i])) return undefined
  return parts.map(([, sliceName]) => sliceName)
}

function slicesByOrder(
  path: string,
  sliceName: unknown,
  open: Map<string, string>,
): readonly (string | undefined)[] {
  for (const known of open.keys()) if (known === path || known.startsWith(`${path}.`)) open.delete(known)
  if (typeof sliceName === 'string') open.set(path, sliceName)
  const steps = path.split('.')
  return steps.map((_, i) => open.get(steps.slice(0, i + 1).join('.')))
}
