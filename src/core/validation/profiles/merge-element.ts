import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { isOfR4 } from './constraints-of-r4.ts'
import type { ElementRules, Source, Stated } from './element-rules.ts'
import { equal } from './equal-values.ts'
import { knownConstraint } from './known-constraints.ts'
import { lastSegment, withoutVersion } from './structure-definition.ts'
import { targetTypesOf } from './target-types.ts'

/**
 * Adds what one element definition says to the rules of its element. What R4, a base profile, or the element outside a
 * slice says already stays theirs. What cannot be judged is added to the gaps, as a clause.
 */
export function mergeElement(rules: ElementRules, json: JsonObject, by: Source, gaps: Set<string>): void {
  mergeCardinality(rules, json, by)
  mergeTypes(rules, json, by, gaps)
  const { general } = rules
  for (const key in json) {
    const value = { value: json[key], by }
    if (/^fixed[A-Z]/.test(key)) rules.fixed = stated(rules.fixed, value, general?.fixed)
    else if (/^pattern[A-Z]/.test(key)) rules.pattern = stated(rules.pattern, value, general?.pattern)
    else if (/^minValue[A-Z]/.test(key)) rules.least = stated(rules.least, value, general?.least)
    else if (/^maxValue[A-Z]/.test(key)) rules.most = stated(rules.most, value, general?.most)
  }
  if (typeof json.maxLength === 'number')
    rules.maxLength = stated(rules.maxLength, { value: json.maxLength, by }, general?.maxLength)
  if (json.mustSupport === true && general?.mustSupport === undefined) rules.mustSupport ??= by
  if (typeof json.contentReference === 'string')
    rules.contentReference = json.contentReference.replace(/^.*#/, '')
  mergeBinding(rules, json.binding, by)
  mergeConstraints(rules, json.constraint, by, gaps)
  mergeSlicing(rules, json.slicing, by)
}

function mergeCardinality(rules: ElementRules, { min, max }: JsonObject, by: Source): void {
  const { element, general, sliceName } = rules
  const outside = sliceName === undefined ? general : undefined
  if (typeof min === 'number') {
    const said = Math.max(rules.min, outside?.min ?? 0, sliceName === undefined ? (element?.min ?? 0) : 0)
    if (min > said) {
      rules.min = min
      rules.minBy = by
    }
  }
  if (typeof max === 'string' && max !== '*') {
    const none = Number.POSITIVE_INFINITY
    const said = Math.min(rules.max, outside?.max ?? none, element?.max ?? none)
    if (Number(max) < said) {
      rules.max = Number(max)
      rules.maxBy = by
    }
  }
}

/** What is stated already stays with whom it is by, when a profile only repeats it. */
function stated<T>(
  known: Stated<T> | undefined,
  added: Stated<T>,
  outside: Stated<T> | undefined,
): Stated<T> | undefined {
  if (known !== undefined && equal(known.value, added.value)) return known
  return outside !== undefined && equal(outside.value, added.value) ? known : added
}

function mergeTypes(rules: ElementRules, json: JsonObject, by: Source, gaps: Set<string>): void {
  const types = objectsOf(json.type)
  if (types.length === 0) return
  const codes = types.map(({ code }) => String(code))
  const { element, general } = rules
  if (element?.isChoice === true) {
    const left = rules.allowed.map(({ type }) => type).filter((type) => codes.includes(type))
    if (left.length < rules.allowed.length)
      rules.types = stated(rules.types, { value: left, by }, general?.types)
  } else if (rules.variants[0]?.type === 'Resource' && !codes.includes('Resource')) {
    rules.types = stated(rules.types, { value: codes, by }, general?.types)
  }
  for (const type of types) {
    if (type.aggregation !== undefined) gaps.add(`how ${rules.id} refers: contained, bundled or referenced`)
    if (type.versioning !== undefined && type.versioning !== 'either')
      gaps.add(`whether ${rules.id} refers to a version`)
  }
  mergeTargets(rules, types, by)
  mergeProfiles(rules, types, by)
}

function mergeTargets(rules: ElementRules, types: readonly JsonObject[], by: Source): void {
  const reference = types.find(({ code }) => code === 'Reference' || code === 'canonical')
  const targets = reference?.targetProfile
  if (!Array.isArray(targets)) return
  const urls = targets.filter((url) => typeof url === 'string').map(withoutVersion)
  if (reference?.code === 'canonical') return
  const known = rules.targets ?? rules.general?.targets
  const ofR4 = rules.variants.find(({ type }) => type === 'Reference')?.targets
  const isKnown = known === undefined ? isAllOf(urls, ofR4) : isSame(urls, known.value)
  if (!isKnown) rules.targets = { value: urls, by }
}

/** Whether the targets are all that R4 allows, and no profile is asked of them. */
function isAllOf(urls: readonly string[], ofR4: readonly string[] | undefined): boolean {
  const types = targetTypesOf(urls, () => undefined)
  if (types === undefined || urls.some((url) => !types.includes(lastSegment(url)))) return false
  return ofR4 === undefined ? types.includes('Resource') : ofR4.every((type) => types.includes(type))
}

function isSame(some: readonly string[], others: readonly string[]): boolean {
  return some.length === others.length && some.every((one) => others.includes(one))
}

/** Profiles of R4 itself for quantities are part of its types, and judged with them. */
const OF_TYPES: ReadonlySet<string> = new Set(['SimpleQuantity', 'MoneyQuantity', 'Extension'])

function mergeProfiles(rules: ElementRules, types: readonly JsonObject[], by: Source): void {
  const urls = types.flatMap(({ profile }) => (Array.isArray(profile) ? profile : []))
  const profiles = urls
    .filter((url) => typeof url === 'string')
    .map(withoutVersion)
    .filter((url) => !OF_TYPES.has(lastSegment(url)))
  if (profiles.length > 0 && types.length === 1)
    rules.profiles = stated(rules.profiles, { value: profiles, by }, rules.general?.profiles)
}

function mergeBinding(rules: ElementRules, binding: unknown, by: Source): void {
  if (!isJsonObject(binding)) return
  const { strength, valueSet } = binding
  if ((strength !== 'required' && strength !== 'extensible') || typeof valueSet !== 'string') return
  if (rules.element?.valueSet === lastSegment(valueSet)) return
  const same = (one: { valueSet: string }): boolean =>
    withoutVersion(one.valueSet) === withoutVersion(valueSet)
  if (rules.general?.bindings.some(same)) return
  const known = rules.bindings.find(same)
  const isError = strength === 'required' && lastSegment(valueSet) !== RELAXED
  if (known === undefined) rules.bindings.push({ strength, isError, valueSet, by })
  else if (known.strength === 'extensible' && strength === 'required')
    rules.bindings[rules.bindings.indexOf(known)] = { strength, isError, valueSet, by }
}

/**
 * The vital signs profile binds every component value to the twelve units of this set: required by the 4.0.1 text,
 * though a body position cannot be a unit. Later editions of the same profile relaxed it, and the HL7 validator of
 * 2026 warns, so this warns too.
 */
const RELAXED = 'ucum-vitals-common'

function mergeConstraints(rules: ElementRules, list: unknown, by: Source, gaps: Set<string>): void {
  for (const { key, expression, severity, human, source } of objectsOf(list)) {
    if (typeof key !== 'string' || isOfR4(key, source)) continue
    const said = rules.constraints.some((one) => one.key === key)
    if (said || rules.general?.constraints.some((one) => one.key === key)) continue
    if (typeof expression !== 'string') {
      gaps.add(`constraint ${key}: it has no expression`)
      continue
    }
    const text = typeof human === 'string' ? human : expression
    const known = knownConstraint(expression)
    rules.constraints.push({ key, expression, isError: severity !== 'warning', human: text, known, by })
  }
}

function mergeSlicing(rules: ElementRules, slicing: unknown, by: Source): void {
  if (!isJsonObject(slicing)) return
  const discriminators = objectsOf(slicing.discriminator).map(({ type, path }) => ({
    type: String(type),
    path: String(path),
  }))
  const isOrdered = slicing.ordered === true || rules.slicing?.isOrdered === true
  const known = rules.slicing?.rules
  const stays = slicing.rules === known || (known !== undefined && slicing.rules === 'open')
  rules.slicing = {
    discriminators,
    rules: stays ? (known ?? 'open') : String(slicing.rules ?? 'open'),
    isOrdered,
    by: stays ? (rules.slicing?.by ?? by) : by,
  }
}
