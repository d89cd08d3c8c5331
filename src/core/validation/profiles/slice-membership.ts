import { isJsonObject } from '../../basics/json-object.ts'
import { anyAt, discriminatorSteps, type Step, type Test } from './discriminator-path.ts'
import type { ElementRules, InSlice } from './element-rules.ts'
import { equal, holdsPattern, leavesOf } from './equal-values.ts'
import { targetTypesOf } from './target-types.ts'

/** What telling slices apart may ask of the set a profile is in. */
export interface Known {
  readonly holds: (valueSet: string, system: string | undefined, code: string) => boolean | undefined
  /** The type a profile of the set constrains. */
  readonly typeOf: (profile: string) => string | undefined
}

interface Telling {
  readonly test: Test
  /** What is looked for, in words. */
  readonly words: readonly string[]
}

/**
 * Makes the test by which a discriminator knows the items of a slice; undefined where it cannot be made, because its
 * path or kind is not understood or the slice says nothing at that place.
 */
export function sliceMembership(
  slice: ElementRules,
  { type, path }: { readonly type: string; readonly path: string },
  known: Known,
): { readonly inSlice: InSlice; readonly words: readonly string[] } | undefined {
  const steps = discriminatorSteps(path)
  const places = steps === undefined ? undefined : placesAt(slice, steps)
  if (steps === undefined || places === undefined) return undefined
  const telling = tellingOf(type, places, steps, known) ?? byExtensionUrl(slice, path)
  if (telling === undefined) return undefined
  const inSlice = anyAt(steps, telling.test, slice.type)
  if (type === 'exists' && places.some(({ max }) => max === 0))
    return {
      inSlice: (item, of, judged) => {
        const exists = inSlice(item, of, judged)
        return exists === undefined ? undefined : !exists
      },
      words: telling.words,
    }
  return { inSlice, words: telling.words }
}

/** The rules the steps lead to: of slices on the way, those that must be there. */
function placesAt(slice: ElementRules, steps: readonly Step[]): readonly ElementRules[] | undefined {
  let places: readonly ElementRules[] = [slice]
  for (const step of steps) {
    if (step.kind === 'resolve' || step.kind === 'ofType') continue
    const name = step.kind === 'child' ? step.name : 'extension'
    const children = places.flatMap((place) => place.children.get(name) ?? [])
    const slices = children.flatMap(({ slices: all }) => all)
    places =
      step.kind === 'child'
        ? [...children, ...slices.filter(({ min }) => min > 0)]
        : slices.filter((one) => extensionUrls(one).includes(step.url))
  }
  return places
}

function tellingOf(
  type: string,
  places: readonly ElementRules[],
  steps: readonly Step[],
  known: Known,
): Telling | undefined {
  if (type === 'value' || type === 'pattern') return firstOf(places, (place) => byValue(place, known))
  if (type === 'exists') return byExistence(places)
  if (type === 'type')
    return firstOf(places, (place) => byType(place, steps.at(-1)?.kind === 'resolve', known))
  if (type === 'profile') return firstOf(places, (place) => byProfile(place, known))
  return undefined
}

function firstOf(
  places: readonly ElementRules[],
  make: (place: ElementRules) => Telling | undefined,
): Telling | undefined {
  for (const place of places) {
    const made = make(place)
    if (made !== undefined) return made
  }
  return undefined
}

function byValue(place: ElementRules, known: Known): Telling | undefined {
  const { fixed, pattern } = place
  if (fixed !== undefined) {
    const { value } = fixed
    const test: Test = isJsonObject(value) ? (found) => equal(found, value) : (found) => found === value
    return { test, words: leavesOf(value) }
  }
  if (pattern !== undefined) {
    return { test: (found) => holdsPattern(found, pattern.value), words: leavesOf(pattern.value) }
  }
  return byBinding(place, known) ?? byParts(place, known)
}

function byBinding({ bindings }: ElementRules, known: Known): Telling | undefined {
  const binding = bindings.find(({ strength }) => strength === 'required')
  if (binding === undefined) return undefined
  const inSet = (system: unknown, code: unknown): boolean =>
    typeof code === 'string' &&
    known.holds(binding.valueSet, typeof system === 'string' ? system : undefined, code) === true
  const test: Test = (found) => {
    if (!isJsonObject(found)) return inSet(undefined, found)
    if (!Array.isArray(found.coding)) return inSet(found.system ?? '', found.code)
    return found.coding.some((one) => isJsonObject(one) && inSet(one.system ?? '', one.code))
  }
  return { test, words: [`a code of ${binding.valueSet}`] }
}

/** A slice may say what it holds by its parts: all that are fixed must be met by one value. */
function byParts(place: ElementRules, known: Known): Telling | undefined {
  const parts: { name: string; telling: Telling }[] = []
  for (const [name, child] of place.children) {
    const required = child.slices.filter(({ min }) => min > 0)
    const telling = firstOf([child, ...required], (one) => byValue(one, known))
    if (telling !== undefined) parts.push({ name, telling })
  }
  if (parts.length === 0) return undefined
  const tests = parts.map(({ name, telling }) => anyAt([{ kind: 'child', name }], telling.test, place.type))
  return {
    test: every(tests),
    words: parts.flatMap(({ telling }) => telling.words),
  }
}

/** Whether all tests pass; undefined when none fails and of one it cannot be told. */
export function every(tests: readonly Test[]): Test {
  return (value, type, judged) => {
    let answer: boolean | undefined = true
    for (const test of tests) {
      const passes = test(value, type, judged)
      if (passes === false) return false
      if (passes === undefined) answer = undefined
    }
    return answer
  }
}

function byExistence(places: readonly ElementRules[]): Telling | undefined {
  const place = places.find(({ min, max }) => min > 0 || max === 0)
  if (place === undefined) return undefined
  return { test: () => true, words: [`${place.max === 0 ? 'no ' : ''}${place.name}`] }
}

function byType(place: ElementRules, isTarget: boolean, known: Known): Telling | undefined {
  const types = isTarget
    ? targetTypesOf(place.targets?.value ?? [], known.typeOf)
    : (place.types?.value ?? place.profiles?.value.flatMap((url) => known.typeOf(url) ?? []))
  if (types === undefined || types.length === 0) return undefined
  return {
    test: (value, type) =>
      types.includes(isJsonObject(value) ? String(value.resourceType ?? type) : String(type)),
    words: [types.join(' or ')],
  }
}

function byProfile(place: ElementRules, known: Known): Telling | undefined {
  const urls = place.profiles?.value ?? place.targets?.value
  if (urls === undefined || urls.some((url) => known.typeOf(url) === undefined)) return undefined
  return {
    // Of a resource that is not at hand only the type is known.
    test: (value, _type, judged) =>
      isJsonObject(value) ? urls.some((url) => judged.meets(value, url)) : undefined,
    words: [urls.join(' or ')],
  }
}

/** An extension slice is told by the URL of the extension it names. */
function byExtensionUrl(slice: ElementRules, path: string): Telling | undefined {
  const urls = path === 'url' ? extensionUrls(slice) : []
  return urls.length === 0 ? undefined : { test: (url) => urls.includes(String(url)), words: urls }
}

function extensionUrls(slice: ElementRules): readonly string[] {
  const fixed = slice.children.get('url')?.fixed?.value
  return typeof fixed === 'string' ? [fixed] : (slice.profiles?.value ?? [])
}
