import type { CodeableConcept, Coding, Extension, ObservationComponent } from 'fhir/r4.js'
import { frozen } from '../basics/frozen.ts'
import type { Position } from '../clinical/session.ts'
import { type Code, EXTENSION, LOINC, loincConcept, SNOMED, SYSTEM } from './codes.ts'

/** How a body position is written: shared constants, one set with SNOMED CT codings and one without. */
export interface WrittenPosition {
  /** LOINC 8361-8 and its answer, as a component of the reading. */
  readonly component: ObservationComponent
  /** The same concept in R4's `observation-bodyPosition`. */
  readonly extension: Extension
}

export function writtenPosition(position: Position, snomed: boolean): WrittenPosition {
  return (snomed ? WITH_SNOMED : LOINC_ONLY)[position]
}

/** LOINC and the SNOMED CT set have no code for half lying, half sitting: it is written as text alone. */
const POSITIONS: Readonly<Record<Position, { text: string; loinc?: Code; snomed?: string }>> = {
  sitting: { text: 'Sitting', loinc: LOINC.answerSitting, snomed: SNOMED.sitting },
  standing: { text: 'Standing', loinc: LOINC.answerStanding, snomed: SNOMED.standing },
  lying: { text: 'Lying', loinc: LOINC.answerLying, snomed: SNOMED.recumbent },
  'semi-recumbent': { text: 'Semi-recumbent' },
}

const LOINC_ONLY = everyPosition(false)
const WITH_SNOMED = everyPosition(true)

function everyPosition(snomed: boolean): Readonly<Record<Position, WrittenPosition>> {
  return {
    sitting: write('sitting', snomed),
    standing: write('standing', snomed),
    lying: write('lying', snomed),
    'semi-recumbent': write('semi-recumbent', snomed),
  }
}

function write(position: Position, snomed: boolean): WrittenPosition {
  const { text, loinc, snomed: concept } = POSITIONS[position]
  const coding: Coding[] = []
  if (loinc !== undefined) coding.push({ system: SYSTEM.loinc, ...loinc })
  if (snomed && concept !== undefined) coding.push({ system: SYSTEM.snomed, code: concept })
  const value: CodeableConcept = coding.length === 0 ? { text } : { coding, text }
  return frozen({
    component: { code: loincConcept(LOINC.bodyPosition), valueCodeableConcept: value },
    extension: { url: EXTENSION.bodyPosition, valueCodeableConcept: value },
  })
}
