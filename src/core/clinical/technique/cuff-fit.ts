import type { SittingCheck } from '../check.ts'
import { tableClause } from './cuff-sizes.ts'
import type { TechniqueContext } from './technique-context.ts'
import { techniqueFinding } from './technique-finding.ts'

/**
 * The cuff against the arm. The range on the cuff's own label decides, both ends inside: size words and tables differ,
 * and the size a table names for the arm is told beside it. A wrist cuff is not made for the upper arm, so it is not
 * compared with it, and neither is one whose site is not stated.
 */
export const cuffSize: SittingCheck<TechniqueContext> = (session, { armCircumferenceCm }) => {
  const made = session.conditions.cuffFor
  if (made === undefined || armCircumferenceCm === undefined || session.site !== 'upper-arm') return undefined
  if (armCircumferenceCm >= made.minCm && armCircumferenceCm <= made.maxCm) return undefined
  const [code, fit] =
    armCircumferenceCm > made.maxCm
      ? (['cuff-too-small', 'too small'] as const)
      : (['cuff-too-large', 'too large'] as const)
  return techniqueFinding(
    code,
    `The arm is ${armCircumferenceCm} cm around, ${tableClause(armCircumferenceCm)}, and the cuff is made for ${made.minCm} to ${made.maxCm} cm, so the cuff is ${fit}`,
  )
}

export const clothing: SittingCheck<TechniqueContext> = ({ conditions }) => {
  if (conditions.cuffOver === undefined || conditions.cuffOver === 'bare-arm') return undefined
  const sleeve = conditions.cuffOver === 'thin-sleeve' ? 'a thin sleeve' : 'a thick sleeve'
  return techniqueFinding('cuff-over-clothing', `The cuff was put over ${sleeve}`)
}

/** Centimetres above the elbow crease, common practice; published placements run from the crease itself to 3 cm. */
const EDGE_LEAST_CM = 2
const EDGE_MOST_CM = 3

export const cuffEdge: SittingCheck<TechniqueContext> = ({ conditions, site }) => {
  const edgeCm = conditions.cuffEdgeAboveElbowCm
  if (edgeCm === undefined || site !== 'upper-arm') return undefined
  if (edgeCm >= EDGE_LEAST_CM && edgeCm <= EDGE_MOST_CM) return undefined
  const place = edgeCm < 0 ? `${-edgeCm} cm below` : `${edgeCm} cm above`
  return techniqueFinding('cuff-edge-off', `The lower edge of the cuff was ${place} the elbow crease`)
}

/** Fingers that fit under the cuff: two by common practice; one to two in published advice, from memory, not re-read. */
const FINGERS_LEAST = 1
const FINGERS_MOST = 2

export const cuffTightness: SittingCheck<TechniqueContext> = ({ conditions }) => {
  const fingers = conditions.fingersUnderCuff
  if (fingers === undefined || (fingers >= FINGERS_LEAST && fingers <= FINGERS_MOST)) return undefined
  const fit = fingers < FINGERS_LEAST ? 'tight' : 'loose'
  return techniqueFinding('cuff-fit-off', `The cuff was ${fit}, with ${fingers} fingers fitting under it`)
}
