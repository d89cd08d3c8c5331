import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import type { InSlice, Judged } from './element-rules.ts'
import { r4Elements } from './r4-elements.ts'
import { shownType } from './shown-type.ts'

/** One step of a discriminator's path. Source: FHIR R4 4.0.1, profiling.html, the restricted FHIRPath of discriminators. */
export type Step =
  | { readonly kind: 'child'; readonly name: string }
  | { readonly kind: 'extension'; readonly url: string }
  | { readonly kind: 'ofType'; readonly type: string }
  | { readonly kind: 'resolve' }

/** The steps of `$this`, `code.coding`, `value.ofType(Quantity)`, `extension('url').value`, `subject.resolve()`. */
export function discriminatorSteps(path: string): readonly Step[] | undefined {
  const steps: Step[] = []
  for (const written of path.match(/(?:[^.(]|\([^)]*\))+/g) ?? []) {
    const step = stepOf(written)
    if (step === undefined) return undefined
    if (step !== 'this') steps.push(step)
  }
  return steps
}

function stepOf(written: string): Step | 'this' | undefined {
  if (written === '$this') return 'this'
  if (written === 'resolve()') return { kind: 'resolve' }
  const [, name, argument] = /^(ofType|extension)\(\s*'?([^')]*?)'?\s*\)$/.exec(written) ?? []
  if (name === 'ofType') return { kind: 'ofType', type: argument?.replace(/^FHIR\./, '') ?? '' }
  if (name === 'extension') return { kind: 'extension', url: argument ?? '' }
  return /^[A-Za-z]\w*$/.test(written) ? { kind: 'child', name: written } : undefined
}

/** As `InSlice`, of the value that a path leads to. */
export type Test = InSlice

/**
 * Whether any value that the steps lead to from an item passes; undefined when none does and of one it cannot be told.
 *
 * @param from the R4 type of the item, where it is known: with it most paths can be followed without looking types up.
 */
export function anyAt(steps: readonly Step[], test: Test, from: string | undefined): InSlice {
  const plain = plainPath(steps, from)
  if (plain === undefined) return (item, type, judged) => walk(item, type, 0, steps, test, judged)
  const [names, type] = plain
  return (item, _type, judged) => walkPlain(item, 0, names, type, test, judged)
}

/** Whether one passes; undefined when none does and of one it cannot be told. */
function anyOf(
  values: readonly unknown[],
  passes: (value: unknown) => boolean | undefined,
): boolean | undefined {
  let answer: boolean | undefined = false
  for (let i = 0; i < values.length; i++) {
    const passed = passes(values[i])
    if (passed === true) return true
    if (passed === undefined) answer = undefined
  }
  return answer
}

/** The property names of a path without choices and functions, and the type it leads to. */
function plainPath(
  steps: readonly Step[],
  from: string | undefined,
): readonly [names: readonly string[], type: string | undefined] | undefined {
  if (steps.length === 0) return undefined
  const names: string[] = []
  let type = from
  for (const step of steps) {
    const element = type === undefined || step.kind !== 'child' ? undefined : r4Elements(type)?.get(step.name)
    if (element === undefined || element.isChoice) return undefined
    names.push(element.name)
    type = element.variants[0]?.type
  }
  return [names, type]
}

function walkPlain(
  value: unknown,
  at: number,
  names: readonly string[],
  type: string | undefined,
  test: Test,
  judged: Judged,
): boolean | undefined {
  if (Array.isArray(value)) return anyOf(value, (one) => walkPlain(one, at, names, type, test, judged))
  if (value === undefined || value === null) return false
  const name = names[at]
  if (name === undefined) return test(value, type, judged)
  return isJsonObject(value) ? walkPlain(value[name], at + 1, names, type, test, judged) : false
}

function walk(
  value: unknown,
  type: string | undefined,
  from: number,
  steps: readonly Step[],
  test: Test,
  judged: Judged,
): boolean | undefined {
  if (Array.isArray(value)) return anyOf(value, (one) => walk(one, type, from, steps, test, judged))
  if (value === undefined || value === null) return false
  const step = steps[from]
  if (step === undefined) return test(value, type, judged)
  if (step.kind === 'ofType')
    return type === step.type ? walk(value, type, from + 1, steps, test, judged) : false
  if (step.kind === 'resolve') {
    const target = judged.resolve(value)
    if (target !== undefined) return walk(target, undefined, from + 1, steps, test, judged)
    // What is not at hand still shows its type, by its URL or in words; more of it cannot be told.
    const shown = from + 1 === steps.length && isJsonObject(value) ? shownType(value) : undefined
    return shown === undefined ? undefined : test(undefined, shown, judged)
  }
  if (!isJsonObject(value)) return false
  if (step.kind === 'extension') {
    const { extension } = value
    const found = Array.isArray(extension)
      ? extension.filter((one) => isJsonObject(one) && one.url === step.url)
      : []
    return walk(found, 'Extension', from + 1, steps, test, judged)
  }
  const [inner, innerType] = childOf(value, type, step.name)
  return walk(inner, innerType, from + 1, steps, test, judged)
}

function childOf(
  value: JsonObject,
  type: string | undefined,
  name: string,
): [value: unknown, type: string | undefined] {
  const of = type ?? (typeof value.resourceType === 'string' ? value.resourceType : undefined)
  const element = of === undefined ? undefined : r4Elements(of)?.get(name)
  if (element === undefined) return [value[name], undefined]
  if (!element.isChoice) return [value[name], element.variants[0]?.type]
  const variant = element.variants.find(({ key }) => value[key] !== undefined)
  return variant === undefined ? [undefined, undefined] : [value[variant.key], variant.type]
}
