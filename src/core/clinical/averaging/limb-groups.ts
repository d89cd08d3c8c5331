import type { Arm, Session, Site } from '../session.ts'
import { MARK } from './reading-columns.ts'

/**
 * The arms and sites that are kept apart when readings are averaged. Readings whose source did not state it are a group
 * of their own: they may be of either, so they are pooled with neither.
 */
export type ArmGroup = Arm | 'not-stated'
export type SiteGroup = Site | 'not-stated'

export function armGroup({ arm }: Pick<Session, 'arm'>): ArmGroup {
  return arm ?? 'not-stated'
}

export function siteGroup({ site }: Pick<Session, 'site'>): SiteGroup {
  return site ?? 'not-stated'
}

/** The arm of a group; none where it is not stated. */
export function statedArm(group: ArmGroup | undefined): { readonly arm?: Arm } {
  return group === undefined || group === 'not-stated' ? {} : { arm: group }
}

/** The site of a group; none where it is not stated. */
export function statedSite(group: SiteGroup | undefined): { readonly site?: Site } {
  return group === undefined || group === 'not-stated' ? {} : { site: group }
}

/** The arm that the bits of `MARK` say. */
export function armOf(mark: number): ArmGroup {
  if ((mark & MARK.armNotStated) !== 0) return 'not-stated'
  return (mark & MARK.rightArm) === 0 ? 'left' : 'right'
}

/** The site that the bits of `MARK` say. */
export function siteOf(mark: number): SiteGroup {
  if ((mark & MARK.siteNotStated) !== 0) return 'not-stated'
  return (mark & MARK.wrist) === 0 ? 'upper-arm' : 'wrist'
}

/** The bits of `MARK` that arm and site say of a session. */
export function limbMarks({ arm, site }: Pick<Session, 'arm' | 'site'>): number {
  return (
    (arm === 'right' ? MARK.rightArm : 0) |
    (arm === undefined ? MARK.armNotStated : 0) |
    (site === 'wrist' ? MARK.wrist : 0) |
    (site === undefined ? MARK.siteNotStated : 0)
  )
}

/** Whether two rows are of one arm and one site, or of one group that does not state them. */
export function onSameLimb(mark: number, other: number): boolean {
  return ((mark ^ other) & LIMB) === 0
}

/** Whether nothing that two rows state of arm and site speaks against one limb. */
export function mayBeOneLimb(mark: number, other: number): boolean {
  return agree(armOf(mark), armOf(other)) && agree(siteOf(mark), siteOf(other))
}

function agree(one: ArmGroup | SiteGroup, other: ArmGroup | SiteGroup): boolean {
  return one === other || one === 'not-stated' || other === 'not-stated'
}

const LIMB = MARK.rightArm | MARK.wrist | MARK.armNotStated | MARK.siteNotStated

/** How many limbs `limbNumber` tells apart. */
export const LIMBS = 16

/** One number, below `LIMBS`, for arm and site. */
export function limbNumber(mark: number): number {
  const stated = (mark & (MARK.rightArm | MARK.wrist)) / MARK.rightArm
  const notStated = (mark & (MARK.armNotStated | MARK.siteNotStated)) / MARK.armNotStated
  return notStated * 4 + stated
}
