import type { SittingCheck } from '../check.ts'
import { EFFECTS, LYING_EFFECT } from './effects.ts'
import type { TechniqueContext } from './technique-context.ts'
import { techniqueFinding } from './technique-finding.ts'

const POSTURE = { standing: 'standing', lying: 'lying down', 'semi-recumbent': 'half lying' } as const

export const seated: SittingCheck<TechniqueContext> = ({ position }) => {
  if (position === undefined || position === 'sitting') return undefined
  const effect = position === 'lying' ? LYING_EFFECT : EFFECTS['not-seated']
  return techniqueFinding(
    'not-seated',
    `The person was ${POSTURE[position]} and not seated`,
    undefined,
    effect,
  )
}

export const site: SittingCheck<TechniqueContext> = (session) =>
  session.site === 'wrist'
    ? techniqueFinding('wrist-site', 'The cuff was on the wrist and not on the upper arm')
    : undefined
