import type { JsonObject } from '../../basics/json-object.ts'
import type { ElementRules, Judged, Source, Stated } from './element-rules.ts'
import type { Finding } from './finding.ts'
import type { Place } from './place.ts'
import type { ProfileSet } from './profile-set.ts'

/** What the checks of single rules know of the judgement they are part of. */
export interface Judging extends Judged {
  readonly set: ProfileSet
  readonly errorsOnly: boolean
  /** Whether absent must-support elements are wanted. */
  readonly mustSupport: boolean
  readonly place: Place
  /** Whether the resource came in a bundle, or contained in another. */
  readonly hasContainer: boolean
  /** The place, or that of one element in it, as a FHIRPath. */
  at(child?: string): string
  add(found: Finding): void
  /** How much was added so far. */
  readonly added: number
  /** Notes what a profile demands and nobody here can judge, as a clause. */
  notJudged(by: Source, what: string): void
  evaluate(expression: string, value: unknown, rules: ElementRules): boolean | undefined
  /** Whether a resource is held to a profile by its own code or claims. */
  isHeldTo(resource: JsonObject, url: string): boolean
  /** Holds one value to its rules. The place is already the value's. */
  item(value: unknown, rules: ElementRules, type: string | undefined): void
  /** Holds a data type or a resource within to the profiles named for it. Extensions are held to theirs by URL. */
  checkProfiles(value: unknown, profiles: Stated<readonly string[]>): void
}
