import type { CodeableConcept } from 'fhir/r4.js'
import { frozen } from '../basics/frozen.ts'
import type { Arm, Site } from '../clinical/session.ts'
import { SNOMED, SYSTEM } from './codes.ts'

/**
 * Where the cuff was, as a shared constant: always in words, and by the artery's SNOMED CT concept when asked. Where the
 * source stated only one of arm and site it is in words alone, as an artery's concept names both; where it stated
 * neither there is nothing to write.
 */
export function bodySite(
  arm: Arm | undefined,
  site: Site | undefined,
  snomed: boolean,
): CodeableConcept | undefined {
  if (arm === undefined) return site === undefined ? undefined : SITE_ALONE[site]
  return site === undefined ? ARM_ALONE[arm] : (snomed ? WITH_SNOMED : WORDS_ONLY)[site][arm]
}

type Sites = Readonly<Record<Site, Readonly<Record<Arm, CodeableConcept>>>>

const WORDS_ONLY: Sites = frozen({
  'upper-arm': { left: { text: 'Left upper arm' }, right: { text: 'Right upper arm' } },
  wrist: { left: { text: 'Left wrist' }, right: { text: 'Right wrist' } },
})

const ARM_ALONE: Readonly<Record<Arm, CodeableConcept>> = frozen({
  left: { text: 'Left arm, site not stated' },
  right: { text: 'Right arm, site not stated' },
})

const SITE_ALONE: Readonly<Record<Site, CodeableConcept>> = frozen({
  'upper-arm': { text: 'Upper arm, side not stated' },
  wrist: { text: 'Wrist, side not stated' },
})

const WITH_SNOMED: Sites = frozen({
  'upper-arm': {
    left: artery(SNOMED.leftBrachialArtery, 'Left upper arm'),
    right: artery(SNOMED.rightBrachialArtery, 'Right upper arm'),
  },
  wrist: {
    left: artery(SNOMED.leftRadialArtery, 'Left wrist'),
    right: artery(SNOMED.rightRadialArtery, 'Right wrist'),
  },
})

function artery(code: string, text: string): CodeableConcept {
  return { coding: [{ system: SYSTEM.snomed, code }], text }
}
