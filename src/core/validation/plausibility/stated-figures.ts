import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import { MICROPASCALS_PER_KPA, MICROPASCALS_PER_MMHG } from '../../basics/pressure.ts'
import {
  DIASTOLIC_MMHG,
  type HardLimits,
  HEARD_TO_ZERO,
  PULSE_PER_MINUTE,
  SYSTOLIC_MMHG,
} from '../../clinical/plausibility/hard-limits.ts'
import { LOINC, UCUM } from '../../fhir/codes.ts'
import { LOINC as LOINC_URI } from '../codes/code-systems.ts'

/** What a code says of the number beside it. */
export interface FigureKind {
  readonly of: 'systolic' | 'diastolic' | 'mean-arterial' | 'pulse'
  /** Of several readings together. */
  readonly isMean: boolean
  readonly limits: HardLimits
  /** One value outside the limits that can be meant. */
  readonly alsoMeant?: number
}

/** A pressure or a pulse as an Observation states it. */
export interface StatedFigure {
  readonly kind: FigureKind
  /** FHIRPath of the element that carries the code: the Observation or a component. */
  readonly at: string
  /** In micropascals, or beats per minute; undefined where no value of a known unit is stated. */
  readonly size: number | undefined
}

/** A mean that rests on diastolics heard to zero may lie anywhere above zero. */
const MEAN_DIASTOLIC: HardLimits = { ...DIASTOLIC_MMHG, lowest: HEARD_TO_ZERO }

/** The mean over one heartbeat lies between its diastolic and its systolic. */
const MEAN_ARTERIAL: HardLimits = { lowest: DIASTOLIC_MMHG.lowest, highest: SYSTOLIC_MMHG.highest }

const SYSTOLIC: FigureKind = { of: 'systolic', isMean: false, limits: SYSTOLIC_MMHG }
const SYSTOLIC_MEAN: FigureKind = { ...SYSTOLIC, isMean: true }
const DIASTOLIC: FigureKind = {
  of: 'diastolic',
  isMean: false,
  limits: DIASTOLIC_MMHG,
  alsoMeant: HEARD_TO_ZERO,
}
const DIASTOLIC_MEAN: FigureKind = { of: 'diastolic', isMean: true, limits: MEAN_DIASTOLIC }

/** By LOINC code. Sources: `fhir/codes.ts`; LOINC 2.81 for 8478-0, mean blood pressure. */
const KINDS: ReadonlyMap<unknown, FigureKind> = new Map<unknown, FigureKind>([
  [LOINC.systolic.code, SYSTOLIC],
  [LOINC.diastolic.code, DIASTOLIC],
  ['8478-0', { of: 'mean-arterial', isMean: false, limits: MEAN_ARTERIAL }],
  [LOINC.heartRate.code, { of: 'pulse', isMean: false, limits: PULSE_PER_MINUTE }],
  [LOINC.meanSystolic.code, SYSTOLIC_MEAN],
  [LOINC.meanDiastolic.code, DIASTOLIC_MEAN],
  [LOINC.twentyFourHourSystolic.code, SYSTOLIC_MEAN],
  [LOINC.twentyFourHourDiastolic.code, DIASTOLIC_MEAN],
])

/** Each pressure and pulse of an Observation, its own value and those of its components; none for another Observation. */
export function statedFigures(observation: JsonObject, at: string): readonly StatedFigure[] {
  const own = kindOf(observation.code)
  const { component } = observation
  let figures = own === undefined ? NONE : [figure(own, observation, at)]
  if (!Array.isArray(component)) return figures
  for (let i = 0; i < component.length; i++) {
    const part: unknown = component[i]
    const kind = isJsonObject(part) ? kindOf(part.code) : undefined
    if (kind === undefined || !isJsonObject(part)) continue
    if (figures === NONE) figures = []
    figures.push(figure(kind, part, `${at}.component[${i}]`))
  }
  return figures
}

const NONE: StatedFigure[] = []

function kindOf(concept: unknown): FigureKind | undefined {
  if (!isJsonObject(concept) || !Array.isArray(concept.coding)) return undefined
  for (let i = 0; i < concept.coding.length; i++) {
    const coding: unknown = concept.coding[i]
    if (!isJsonObject(coding) || coding.system !== LOINC_URI) continue
    const kind = KINDS.get(coding.code)
    if (kind !== undefined) return kind
  }
  return undefined
}

function figure(kind: FigureKind, { valueQuantity }: JsonObject, at: string): StatedFigure {
  return { kind, at, size: isJsonObject(valueQuantity) ? sizeOf(kind, valueQuantity) : undefined }
}

/** Nothing for a bound, which is no measurement, and for units that are for the profiles to report. */
function sizeOf(kind: FigureKind, { value, code, comparator }: JsonObject): number | undefined {
  if (typeof value !== 'number' || comparator !== undefined) return undefined
  if (kind.of === 'pulse') return code === UCUM.perMinute.code ? value : undefined
  if (code === UCUM.mmHg.code) return value * MICROPASCALS_PER_MMHG
  return code === UCUM.kPa.code ? value * MICROPASCALS_PER_KPA : undefined
}
