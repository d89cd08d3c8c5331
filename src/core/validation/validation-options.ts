import type { ProfileSet } from './profiles/profile-set.ts'

/** What a resource is held to beside R4 itself. */
export interface ValidationOptions {
  /** The profiles that are known. Default: the published ones that ship. */
  readonly profiles?: ProfileSet
  /** Canonical URLs, with or without a version, that the resource must meet whatever it claims. Unknown ones are errors. */
  readonly asked?: readonly string[]
  /** Whether elements a profile marks must-support are reported, as information, where they are absent. Default: no. */
  readonly mustSupport?: boolean
}
