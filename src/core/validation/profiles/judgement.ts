import { blocks, type Issue } from '../../basics/issue.ts'
import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import type { Setting } from '../layer.ts'
import { plansFor } from './applicable-plans.ts'
import { checkValue } from './check-value.ts'
import { countElement } from './count-element.ts'
import type { ElementRules, Source, Stated } from './element-rules.ts'
import { type Finding, settled } from './finding.ts'
import type { Judging } from './judging.ts'
import { Place } from './place.ts'
import type { ProfilePlan } from './profile-plan.ts'
import type { ProfileSet } from './profile-set.ts'
import { resourceAtHand } from './resources-at-hand.ts'

/** One resource being held to profiles: walks their rules beside it and gathers what it finds. */
export class Judgement implements Judging {
  readonly set: ProfileSet
  readonly errorsOnly: boolean
  readonly mustSupport: boolean
  readonly place = new Place()
  readonly #resource: JsonObject
  readonly #setting: Setting
  readonly #depth: number
  #findings: Finding[] | undefined = undefined
  /** By profile: what could not be judged of it. */
  #unjudged: Map<string, Set<string>> | undefined = undefined

  constructor(set: ProfileSet, resource: JsonObject, setting: Setting, errorsOnly: boolean, depth = 0) {
    this.set = set
    this.errorsOnly = errorsOnly
    this.mustSupport = setting.options.mustSupport === true && !errorsOnly
    this.#resource = resource
    this.#setting = setting
    this.#depth = depth
  }

  /** Whether it is a constant that was found to keep a profile. */
  isSettled(value: JsonObject, { root }: ProfilePlan): boolean {
    return this.errorsOnly && root.settled.has(value)
  }

  /** Holds the resource, or an extension in it, to one profile. */
  hold(value: JsonObject, plan: ProfilePlan, at: string): void {
    const { root, unenforced, name } = plan
    if (this.isSettled(value, plan)) return
    const { added } = this
    this.place.begin(at)
    if (!this.errorsOnly) for (const gap of unenforced) this.notJudged({ name, rank: 0 }, gap)
    if (root.hasValueRules) checkValue(value, root, plan.type, this)
    this.inside(value, root)
    if (this.errorsOnly && this.added === added) root.settled.remember(value)
  }

  /** Holds what is in an element to the rules of its parts. */
  inside(value: JsonObject, rules: ElementRules): void {
    const parts = this.errorsOnly ? rules.withErrors : rules.all
    for (let i = 0; i < parts.length; i++) {
      const part = parts[i]
      if (part !== undefined) countElement(value, part, this)
    }
  }

  item(value: unknown, rules: ElementRules, type: string | undefined): void {
    // As with the whole element: of a choice the same value could come back as another type.
    const mayStay = this.errorsOnly && rules.element?.isChoice === false && Object.isFrozen(value)
    if (mayStay && rules.settledItems.has(value)) return
    const { added } = this
    if (rules.hasValueRules) checkValue(value, rules, type, this)
    if (rules.all.length > 0 && isJsonObject(value)) this.inside(value, rules)
    if (mayStay && this.added === added) rules.settledItems.remember(value)
  }

  at(child?: string): string {
    return this.place.text(child)
  }

  add(found: Finding): void {
    this.#findings ??= []
    this.#findings.push(found)
  }

  get added(): number {
    return this.#findings?.length ?? 0
  }

  notJudged(by: Source, what: string): void {
    if (this.errorsOnly) return
    this.#unjudged ??= new Map()
    const known = this.#unjudged.get(by.name) ?? new Set()
    this.#unjudged.set(by.name, known.add(what))
  }

  evaluate(expression: string, value: unknown, { variants, id }: ElementRules): boolean | undefined {
    const [{ type } = { type: '' }] = variants
    const path = type.includes('_') ? id.replace(/:[^.]+/g, '') : type
    return this.set.evaluator?.evaluate(expression, this.#resource, value, path)
  }

  resolve(reference: unknown): JsonObject | undefined {
    const text = isJsonObject(reference) ? reference.reference : reference
    return resourceAtHand(text, this.#resource, this.#setting)
  }

  get hasContainer(): boolean {
    return this.#setting.container !== undefined
  }

  isHeldTo(resource: JsonObject, url: string): boolean {
    return plansFor(resource, this.set).some(({ lineage }) => lineage.has(url))
  }

  meets(resource: JsonObject, url: string): boolean {
    const plan = this.set.plan(url)
    // Profiles may refer to one another in a circle; beyond two steps nobody asks.
    if (plan === undefined || resource.resourceType !== plan.type || this.#depth > 1)
      return plan !== undefined
    const inner = new Judgement(this.set, resource, this.#setting, true, this.#depth + 1)
    inner.hold(resource, plan, '')
    return !inner.issues().some(blocks)
  }

  checkProfiles(value: unknown, { value: urls, by }: Stated<readonly string[]>): void {
    if (!isJsonObject(value)) return
    const unknown = urls.filter((url) => !this.set.urls.has(url))
    if (unknown.length > 0) this.notJudged(by, `${unknown.join(' or ')}, which is not known here`)
    const [only, another] = urls.map((url) => this.set.plan(url)).filter((plan) => plan !== undefined)
    if (only === undefined || another !== undefined || unknown.length > 0 || only.type === 'Extension') return
    if (only.root.hasValueRules) checkValue(value, only.root, only.type, this)
    this.inside(value, only.root)
  }

  issues(): readonly Issue[] {
    return this.#findings === undefined ? NONE : settled(this.#findings)
  }

  /** What was not judged, by the name of the profile that demands it. */
  unjudged(): ReadonlyMap<string, ReadonlySet<string>> {
    return this.#unjudged ?? NOTHING
  }
}

const NONE: readonly Issue[] = []
const NOTHING: ReadonlyMap<string, ReadonlySet<string>> = new Map()
