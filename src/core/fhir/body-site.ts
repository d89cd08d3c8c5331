import type { CodeableConcept } from 'fhir/r4.js'
import { frozen } from '../basics/frozen.ts'
import type { Arm, Site } from '../clinical/session.ts'
import { SNOMED, SYSTEM } from './codes.ts'

/** Where the cuff was, as a shared constant: always in words, and by the artery's SNOMED CT concept when asked. */
export function bodySite(arm: Arm, site: Site, snomed: boolean): CodeableConcept {
  return (snomed ? WITH_SNOMED : WORDS_ONLY)[site][arm]
}

type Sites = Readonly<Record<Site, Readonly<Record<Arm, CodeableConcept>>>>

const WORDS_ONLY: Sites = frozen({
  'upper-arm': { left: { text: 'Left upper arm' }, right: { text: 'Right upper arm' } },
  wrist: { left: { text: 'Left wrist' }, right: { text: 'Right wrist' } },
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
