import type { ElementRules, Slicing } from './element-rules.ts'
import { every, type Known, sliceMembership } from './slice-membership.ts'

/**
 * Readies a whole tree of rules for judging: slices get their tests, elements that stand for others get their rules,
 * and what has nothing to ask is left out of the walk. What cannot be judged is added to the gaps.
 */
export function finishRules(root: ElementRules, gaps: Set<string>, known: Known): void {
  followReferences(root, root, new Set())
  tellSlices(root, gaps, known, new Set())
  arrange(root, new Map())
}

/** An element may be defined as another: `Observation.component.referenceRange` as `Observation.referenceRange`. */
function followReferences(rules: ElementRules, root: ElementRules, seen: Set<ElementRules>): void {
  if (seen.has(rules)) return
  seen.add(rules)
  if (rules.contentReference !== undefined && rules.children.size === 0) {
    let meant: ElementRules | undefined = root
    for (const name of rules.contentReference.split('.').slice(1)) meant = meant?.children.get(name)
    // An element that is defined as one it stands in would be followed for ever.
    if (meant !== undefined && !rules.id.startsWith(`${meant.id}.`)) rules.children = new Map(meant.children)
    return
  }
  for (const child of rules.children.values()) followReferences(child, root, seen)
  for (const slice of rules.slices) followReferences(slice, root, seen)
}

function tellSlices(rules: ElementRules, gaps: Set<string>, known: Known, seen: Set<ElementRules>): void {
  if (seen.has(rules)) return
  seen.add(rules)
  const slicing = rules.slicing ?? implied(rules)
  rules.slicing = rules.slices.length === 0 ? undefined : slicing
  rules.key = keyOf(slicing?.discriminators ?? [])
  for (const slice of rules.slices) {
    const tests = (slicing?.discriminators ?? []).map((one) => sliceMembership(slice, one, known))
    const made = tests.filter((test) => test !== undefined)
    if (made.length === 0 || made.length < tests.length) {
      gaps.add(`the slice ${slice.sliceName ?? ''} of ${rules.id}: what tells it from others`)
    } else {
      const [only, ...others] = made.map(({ inSlice }) => inSlice)
      slice.inSlice = only === undefined || others.length === 0 ? only : every([only, ...others])
      const words = made.flatMap((one) => one.words)
      slice.told = words.join(' of ')
      slice.toldKey = [...words].sort().join(' ')
    }
    tellSlices(slice, gaps, known, seen)
  }
  for (const child of rules.children.values()) tellSlices(child, gaps, known, seen)
}

/** The child every discriminator begins with, where all go by values. */
function keyOf(discriminators: Slicing['discriminators']): string | undefined {
  const keys = discriminators.map(({ type, path }) =>
    type === 'value' || type === 'pattern' ? /^[a-z]\w*(?=\.|$)/.exec(path)?.[0] : undefined,
  )
  return keys.every((key) => key === keys[0]) ? keys[0] : undefined
}

/** Extensions are always told by URL, the slices of a choice by type. Source: FHIR R4 4.0.1, profiling.html, slicing. */
function implied({ name, element, slices }: ElementRules): Slicing | undefined {
  const [by] = slices.flatMap(
    ({ minBy, maxBy, types, profiles }) => minBy ?? maxBy ?? types?.by ?? profiles?.by ?? [],
  )
  if (by === undefined) return undefined
  const isExtension = name === 'extension' || name === 'modifierExtension'
  if (!isExtension && element?.isChoice !== true) return undefined
  const discriminator = isExtension ? { type: 'value', path: 'url' } : { type: 'type', path: '$this' }
  return { discriminators: [discriminator], rules: 'open', isOrdered: false, by }
}

interface Asked {
  readonly asks: boolean
  readonly blocks: boolean
}

/** Settles which parts are walked. Answers whether there is anything to ask, and anything that could be an error. */
function arrange(rules: ElementRules, settled: Map<ElementRules, Asked>): Asked {
  const before = settled.get(rules)
  if (before !== undefined) return before
  // An element that stands in itself is settled by what else is in it.
  settled.set(rules, { asks: false, blocks: false })
  const { children, slices } = rules
  const below = [...children.values()].map((child) => ({ child, ...arrange(child, settled) }))
  const within = slices.map((slice) => ({ slice, ...arrange(slice, settled) }))
  rules.all = below.filter(({ asks }) => asks).map(({ child }) => child)
  rules.withErrors = below.filter(({ blocks }) => blocks).map(({ child }) => child)
  rules.hasValueRules = hasValueRules(rules)
  rules.variants = [...rules.allowed, ...rules.variants.filter((one) => !rules.allowed.includes(one))]
  rules.isQuick = isQuick(rules)
  const blocks =
    rules.minBy !== undefined ||
    rules.maxBy !== undefined ||
    rules.types !== undefined ||
    rules.slicing !== undefined ||
    blocksByValue(rules) ||
    rules.withErrors.length > 0 ||
    within.some((one) => one.blocks)
  const asks = blocks || rules.hasValueRules || rules.mustSupport !== undefined || rules.all.length > 0
  const asked = { asks, blocks }
  settled.set(rules, asked)
  return asked
}

/** Most elements of a sound resource are settled by one look. */
function isQuick({
  element,
  all,
  maxBy,
  slicing,
  hasValueRules: asks,
  fixed,
  ...rest
}: ElementRules): boolean {
  if (element?.isChoice !== false || element.max > 1 || all.length > 0) return false
  if (maxBy !== undefined || slicing !== undefined) return false
  if (!asks) return true
  const { pattern, targets, profiles, maxLength, least, most, bindings, constraints } = rest
  const others = [pattern, targets, profiles, maxLength, least, most].some((one) => one !== undefined)
  return typeof fixed?.value === 'string' && !others && bindings.length === 0 && constraints.length === 0
}

function hasValueRules(rules: ElementRules): boolean {
  return rules.bindings.length > 0 || rules.constraints.length > 0 || blocksByValue(rules)
}

function blocksByValue(rules: ElementRules): boolean {
  return (
    rules.fixed !== undefined ||
    rules.pattern !== undefined ||
    rules.targets !== undefined ||
    rules.profiles !== undefined ||
    rules.maxLength !== undefined ||
    rules.least !== undefined ||
    rules.most !== undefined ||
    rules.bindings.some(({ isError }) => isError) ||
    rules.constraints.some(({ isError }) => isError)
  )
}
