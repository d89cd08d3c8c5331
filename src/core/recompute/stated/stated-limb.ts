import { isJsonObject, objectsOf } from '../../basics/json-object.ts'
import type { Arm, Site } from '../../clinical/session.ts'
import { SNOMED, SYSTEM } from '../../fhir/codes.ts'
import { codesOf } from './codings.ts'

/** Where a cuff was, as far as it is said. */
export interface Limb {
  readonly arm?: Arm
  readonly site?: Site
}

/** By the codes this gateway writes and that of R4's own example, else by the words. Source: FHIR R4 4.0.1, BP example. */
const BY_CODE: Readonly<Record<string, Limb>> = {
  [SNOMED.leftBrachialArtery]: { arm: 'left', site: 'upper-arm' },
  [SNOMED.rightBrachialArtery]: { arm: 'right', site: 'upper-arm' },
  [SNOMED.leftRadialArtery]: { arm: 'left', site: 'wrist' },
  [SNOMED.rightRadialArtery]: { arm: 'right', site: 'wrist' },
  '368209003': { arm: 'right', site: 'upper-arm' },
}

/** Reads a bodySite. */
export function statedLimb(bodySite: unknown): Limb {
  if (!isJsonObject(bodySite)) return {}
  for (const code of codesOf(bodySite, SYSTEM.snomed)) {
    const known = BY_CODE[code]
    if (known !== undefined) return known
  }
  const words = [bodySite.text, ...objectsOf(bodySite.coding).map(({ display }) => display)]
    .filter((one) => typeof one === 'string')
    .join(' ')
    .slice(0, 1000)
    .toLowerCase()
  const left = /\bleft\b/.test(words)
  const right = /\bright\b/.test(words)
  return {
    ...(left === right ? {} : { arm: left ? ('left' as const) : ('right' as const) }),
    ...(/\bwrist\b|\bradial\b/.test(words) ? { site: 'wrist' as const } : {}),
    ...(/\bupper arm\b|\bbrachial\b/.test(words) ? { site: 'upper-arm' as const } : {}),
  }
}
