import { blocks, type Issue } from '../basics/issue.ts'
import { isJsonObject, type JsonObject } from '../basics/json-object.ts'
import { RESOURCE_TYPES } from './elements/element-tokens.ts'
import { walkElements } from './elements-layer.ts'
import { invariantsLayer } from './invariants/invariants-layer.ts'
import type { InnerResource, Layer, MetExtension, MetReference, Report, Resource, Setting } from './layer.ts'
import { LIMITS } from './limits.ts'
import { plausibilityLayer } from './plausibility/plausibility-layer.ts'
import { profilesLayer } from './profiles/profiles-layer.ts'
import { referencesLayer } from './references/references-layer.ts'
import { isFullyJudged } from './spoken-types.ts'
import type { ValidationOptions } from './validation-options.ts'

/** Asked of every resource, in this order, after the walk of its elements made it safe for them to recurse. */
const LAYERS: readonly Layer[] = [invariantsLayer, profilesLayer, plausibilityLayer]

/**
 * Everything wrong with a FHIR R4 resource, in all layers, or nothing.
 *
 * Takes any JSON value and never throws. Each issue says where by a FHIRPath from the resource, such as
 * `Bundle.entry[3].resource.component[0].value`, and holds nothing of what the resource says. Resources in a bundle
 * and contained ones are judged by their own type. Beyond `LIMITS` a resource is refused with one fatal issue; of
 * issues that block, and of those that do not, the first thousand are listed, and one more says so.
 */
export function validateResource(resource: unknown, options: ValidationOptions = {}): readonly Issue[] {
  return judge(resource, false, settingOf(options))
}

/** Only what blocks: the issues of severity error and fatal. For resources of our own, before they are kept or sent. */
export function errorsIn(resource: unknown): readonly Issue[] {
  return judge(resource, true, settingOf({})).filter(blocks)
}

function settingOf(options: ValidationOptions): Setting {
  return { options, container: undefined, outer: undefined }
}

function judge(resource: unknown, errorsOnly: boolean, setting: Setting): readonly Issue[] {
  const issues: Issue[] = []
  let blocking = 0
  let others = 0
  const judgement = new Judgement(errorsOnly, (issue) => {
    const place = blocks(issue) ? ++blocking : ++others
    if (place <= LIMITS.issues) issues.push(issue)
  })
  judgement.resource(resource, typeNameOf(resource), 1, setting)
  if (blocking > LIMITS.issues || others > LIMITS.issues) issues.push(moreIssues(typeNameOf(resource)))
  return issues
}

/** One resource being judged with all the resources in it. */
class Judgement {
  readonly #errorsOnly: boolean
  readonly #report: Report
  /** The references in each resource that was walked. */
  readonly #references = new Map<Resource, readonly MetReference[]>()
  /** Whether the resource under judgement had a fatal issue, after which no layer is asked. */
  #stopped = false

  constructor(errorsOnly: boolean, report: Report) {
    this.#errorsOnly = errorsOnly
    this.#report = (issue) => {
      if (issue.severity === 'fatal') this.#stopped = true
      report(issue)
    }
  }

  /** Whether the resource and all in it could be walked. */
  resource(value: unknown, at: string, depth: number, setting: Setting): boolean {
    if (!isJsonObject(value)) {
      this.#report(notAResource(at))
      return false
    }
    if (!isResource(value)) {
      this.#report(notSpoken(value, at))
      return false
    }
    if (depth > LIMITS.resourceDepth) {
      this.#report(tooDeep(at))
      return false
    }
    this.#stopped = false
    const { inner, extensions, references } = walkElements(value, at, this.#report, this.#errorsOnly)
    this.#references.set(value, references)
    const { own, ofContained } = byHolder(value, extensions)
    if (this.#stopped || !this.#byLayers(value, at, setting, own)) return false
    if (!this.#inside(value, at, inner, ofContained, depth, setting)) return false
    referencesLayer(value, at, this.#report, this.#errorsOnly, this.#references)
    return !this.#stopped
  }

  /** Whether none of the layers found something fatal. */
  #byLayers(resource: Resource, at: string, setting: Setting, extensions: readonly MetExtension[]): boolean {
    if (!this.#errorsOnly && !isFullyJudged(resource.resourceType)) this.#report(partly(at))
    for (const layer of LAYERS) {
      layer(resource, at, this.#report, this.#errorsOnly, setting, extensions)
      if (this.#stopped) return false
    }
    return true
  }

  /** Contained resources were walked with their container; those of an entry or a parameter stand by themselves. */
  #inside(
    resource: Resource,
    at: string,
    inner: readonly InnerResource[],
    ofContained: ReadonlyMap<number, readonly MetExtension[]>,
    depth: number,
    outer: Setting,
  ): boolean {
    if (inner.length === 0 && resource.contained === undefined) return true
    const setting: Setting = { options: outer.options, container: resource, outer }
    let walked = true
    for (const { value, at: place } of inner)
      walked = this.resource(value, place, depth + 1, setting) && walked
    if (!Array.isArray(resource.contained)) return walked
    const { contained } = resource
    for (let i = 0; i < contained.length; i++) {
      const value: unknown = contained[i]
      if (isJsonObject(value) && isResource(value))
        this.#byLayers(value, `${at}.contained[${i}]`, setting, ofContained.get(i) ?? NO_EXTENSIONS)
    }
    return walked
  }
}

/** The extensions of a resource itself, and those of each resource it contains by its position, seen from there. */
function byHolder(
  { contained }: Resource,
  extensions: readonly MetExtension[],
): { own: readonly MetExtension[]; ofContained: ReadonlyMap<number, readonly MetExtension[]> } {
  if (contained === undefined) return { own: extensions, ofContained: NONE_CONTAINED }
  const own: MetExtension[] = []
  const ofContained = new Map<number, MetExtension[]>()
  for (const one of extensions) {
    const [name, position, ...steps] = one.steps
    if (name !== 'contained' || typeof position !== 'number') {
      own.push(one)
      continue
    }
    const others = ofContained.get(position) ?? []
    others.push({ ...one, steps })
    ofContained.set(position, others)
  }
  return { own, ofContained }
}

const NO_EXTENSIONS: readonly MetExtension[] = []
const NONE_CONTAINED: ReadonlyMap<number, readonly MetExtension[]> = new Map()

function isResource(value: JsonObject): value is Resource {
  return typeof value.resourceType === 'string' && RESOURCE_TYPES.has(value.resourceType)
}

function typeNameOf(value: unknown): string {
  return isJsonObject(value) && isResource(value) ? value.resourceType : ''
}

function notAResource(at: string): Issue {
  return {
    severity: 'fatal',
    type: 'structure',
    code: 'STRUCTURE',
    at,
    expected: 'a FHIR resource: a JSON object with a resourceType',
    remedy: 'Send one resource.',
  }
}

function notSpoken(value: JsonObject, at: string): Issue {
  if (value.resourceType === undefined || value.resourceType === null)
    return { ...notAResource(at), type: 'required' }
  return {
    severity: 'fatal',
    type: 'not-supported',
    code: 'NOT_SUPPORTED',
    at: at === '' ? 'resourceType' : `${at}.resourceType`,
    expected: 'the name of an R4 resource type',
    remedy: 'Correct the name: R4 has no such resource.',
  }
}

/** Everything but the invariants of its own type was judged. */
function partly(at: string): Issue {
  return {
    severity: 'information',
    type: 'informational',
    code: 'NOT_SUPPORTED',
    at,
    expected: 'a resource whose own invariants are known here',
    remedy:
      'Have them judged elsewhere: structure, data types and references were judged, invariants of this type were not.',
  }
}

function tooDeep(at: string): Issue {
  return {
    severity: 'fatal',
    type: 'too-costly',
    code: 'TOO_DEEP',
    at,
    expected: `at most ${LIMITS.resourceDepth} resources inside one another`,
    remedy: 'Send the inner bundles by themselves.',
  }
}

function moreIssues(at: string): Issue {
  return {
    severity: 'information',
    type: 'informational',
    code: 'TOO_MANY',
    at,
    expected: `at most ${LIMITS.issues} issues in one answer`,
    remedy: 'There are more than are listed: correct these, then validate again.',
  }
}
