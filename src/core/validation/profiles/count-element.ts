import type { JsonObject } from '../../basics/json-object.ts'
import { exists } from '../exists.ts'
import type { ElementRules } from './element-rules.ts'
import { finding } from './finding.ts'
import type { Judging } from './judging.ts'
import type { R4Variant } from './r4-elements.ts'
import { SliceCount } from './slice-count.ts'
import { unsupported } from './unsupported.ts'

/** Finds an element in its parent, counts it, and holds each of its values and slices to the rules. */
export function countElement(parent: JsonObject, rules: ElementRules, judgement: Judging): void {
  if (rules.isQuick) {
    const found = parent[rules.name]
    if (rules.fixed === undefined ? found !== undefined && found !== null : found === rules.fixed.value)
      return
  }
  const variant = rules.element?.isChoice === true ? variantIn(parent, rules) : undefined
  const key = variant?.key ?? rules.name
  const value = parent[key]
  if (
    judgement.errorsOnly &&
    (rules.settled.has(value) || (variant === undefined && isSpared(value, parent, rules)))
  )
    return
  const type = (variant ?? rules.variants[0])?.type
  const added = judgement.added
  const slices = rules.slicing === undefined ? undefined : new SliceCount(rules)
  let count = 0
  if (Array.isArray(value)) {
    const siblings = parent[rules.sibling]
    for (let i = 0; i < value.length; i++) {
      const item: unknown = value[i]
      if (item === null || item === undefined) {
        if (Array.isArray(siblings) && exists(siblings[i])) count++
        continue
      }
      count++
      judgement.place.enter(rules.name, i)
      judgement.item(item, rules, type)
      slices?.take(item, type, judgement)
      judgement.place.leave()
    }
  } else if (value !== undefined && value !== null) {
    count = 1
    judgement.place.enter(rules.name, -1)
    if (isAllowed(rules, type, judgement)) {
      judgement.item(value, rules, type)
      slices?.take(value, type, judgement)
    }
    judgement.place.leave()
  } else if (exists(parent[variant === undefined ? rules.sibling : variant.sibling])) {
    count = 1
  }
  const missing = slices?.settle(judgement) ?? 0
  checkCount(count, missing, rules, judgement)
  // Of a choice the same value could come back as another type.
  if (judgement.errorsOnly && judgement.added === added && variant === undefined)
    rules.settled.remember(value)
}

/** Whether it is not there and need not be. */
function isSpared(value: unknown, parent: JsonObject, { min, slicing, sibling }: ElementRules): boolean {
  return value === undefined && min === 0 && slicing === undefined && parent[sibling] === undefined
}

function variantIn(parent: JsonObject, { variants, name }: ElementRules): R4Variant | undefined {
  if (!mayHave(name, parent)) return undefined
  for (let i = 0; i < variants.length; i++) {
    const variant = variants[i]
    if (variant === undefined) continue
    if (parent[variant.key] !== undefined) return variant
    // A primitive may be there by its extensions alone.
    if (variant.isPrimitive && parent[variant.sibling] !== undefined) return variant
  }
  return undefined
}

/** Whether anything in an object begins as the variants of a choice do: sooner seen than that each of many is absent. */
function mayHave(choice: string, parent: JsonObject): boolean {
  const first = choice.charCodeAt(0)
  for (const property in parent) {
    const start = property.charCodeAt(0) === UNDERSCORE ? 1 : 0
    if (property.charCodeAt(start) === first && property.startsWith(choice, start)) return true
  }
  return false
}

const UNDERSCORE = 95

function isAllowed(rules: ElementRules, type: string | undefined, judgement: Judging): boolean {
  const { types, max, element } = rules
  if (types === undefined || element?.isChoice !== true || types.value.includes(type ?? '')) return true
  if (max === 0) return false
  const expected =
    types.value.length === 1 ? `a ${types.value[0]}` : `one of the types ${types.value.join(', ')}`
  judgement.add(
    finding(
      'type',
      'value',
      types.by,
      judgement.at(),
      expected,
      `Send ${rules.allowed.map(({ key }) => key).join(' or ')}.`,
    ),
  )
  return false
}

function checkCount(count: number, missing: number, rules: ElementRules, judgement: Judging): void {
  const { name, min, minBy, max, maxBy, mustSupport } = rules
  if (minBy !== undefined && count + missing < min) {
    const expected = min === 1 ? `${name} to be there` : `at least ${min} ${name}`
    judgement.add(
      finding('required', 'required', minBy, judgement.at(name), expected, 'Add what is missing.'),
    )
  } else if (maxBy !== undefined && count > max) {
    const expected = max === 0 ? `no ${name}` : `at most ${max} ${name}`
    const remedy = max === 0 ? 'Remove it: the profile has no place for it.' : 'Remove what is too many.'
    judgement.add(finding('most', 'structure', maxBy, judgement.at(name), expected, remedy))
  }
  if (count === 0 && mustSupport !== undefined && judgement.mustSupport)
    judgement.add(unsupported(rules, judgement.at(name)))
}
