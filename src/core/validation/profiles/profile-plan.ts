import type { ElementRules } from './element-rules.ts'
import type { Context } from './structure-definition.ts'

/** A profile made ready to judge with. */
export interface ProfilePlan {
  readonly url: string
  readonly version: string | undefined
  /** Last segment of the URL. */
  readonly name: string
  readonly type: string
  readonly root: ElementRules
  /** The profile itself and those it derives from, as URLs. */
  readonly lineage: ReadonlySet<string>
  readonly contexts: readonly Context[]
  /** What it demands and this reader cannot judge, as clauses. Named in every answer that uses it. */
  readonly unenforced: readonly string[]
}
