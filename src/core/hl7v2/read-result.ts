import { type Issue, inputError } from '../basics/issue.ts'
import { nameTwoUnits } from '../basics/pressure-unit-words.ts'
import { ok, type Result, refused } from '../basics/result.ts'
import type { ReadSegment } from './read-segments.ts'

/** A code and the name of its system by HL7 table 0396: `LN`, `MDC`, `SCT`, `UCUM`. */
export interface ReadCode {
  readonly code: string
  readonly system: string
}

/** One OBX as a mapping reads it. What is not there is absent. */
export interface ResultTree {
  /** OBX-3, with its second coding where it has one. */
  readonly codes: readonly ReadCode[]
  /** OBX-2. */
  readonly type: string
  /** OBX-5: a number of NM and SN; the code of CE, CWE and CNE; else the text. */
  readonly value?: number | string
  /** Of CE, CWE and CNE: what the code means, or all there is where no code is. */
  readonly valueText?: string
  /** Of SN: `<` and the like: then the value is a bound and no measurement. */
  readonly comparator?: string
  /** OBX-6, by its UCUM or MDC coding. */
  readonly unit?: string
  readonly unitSystem?: string
  /** OBX-11, HL7 table 0085: F final, C corrected, P preliminary, D deleted, W of the wrong patient, X no result. */
  readonly status: string
}

/** Pressures of one inflation: LOINC 8480-6 and 8462-4, and the MDC terms 150021 and 150022 that PCD-01 uses. */
const PRESSURES: ReadonlyMap<string, 'systolic' | 'diastolic'> = new Map([
  ['LN 8480-6', 'systolic'],
  ['LN 8462-4', 'diastolic'],
  ['MDC 150021', 'systolic'],
  ['MDC 150022', 'diastolic'],
])

/** Pulse rates: LOINC 8867-4, and the MDC term for the pulse a cuff counts. */
const PULSES: ReadonlySet<string> = new Set(['LN 8867-4', 'MDC 149546'])

/** What a result measures of those that make a reading; undefined for all else. */
export function measuredBy({ codes }: ResultTree): 'systolic' | 'diastolic' | 'pulse' | undefined {
  for (const { code, system } of codes) {
    const key = `${system} ${code}`
    const pressure = PRESSURES.get(key)
    if (pressure !== undefined) return pressure
    if (PULSES.has(key)) return 'pulse'
  }
  return undefined
}

/** The codings of a CE or CWE: the first, and the alternate behind it. Source: HL7 v2.5.1 sections 2.A.3 and 2.A.13. */
export function codesOf(segment: ReadSegment, field: number): readonly ReadCode[] {
  return [1, 4].flatMap((at) => {
    const code = segment.text(field, at)
    return code === '' ? [] : [{ code, system: segment.text(field, at + 2) }]
  })
}

/**
 * Reads an OBX. A number that cannot be read is an issue at `OBX[n]-5`, one unit by its code and another by its words or
 * its alternate coding at `OBX[n]-6`. Source: HL7 v2.5.1 section 7.4.2.
 */
export function readResult(segment: ReadSegment): Result<ResultTree> {
  const type = segment.text(2)
  const codes = codesOf(segment, 3)
  if (codes.length === 0) {
    const remedy = 'Name what was observed, such as 8480-6^Systolic^LN.'
    return refused([inputError('required', 'MISSING_KEY', segment.place(3), 'a code', remedy)])
  }
  if (nameTwoUnits(...unitTexts(segment))) return refused([twoUnits(segment)])
  const value = observed(segment, type)
  if (!value.ok) return value
  return ok({ codes, type, ...value.value, ...unitOf(segment), status: segment.text(11) })
}

function observed(
  segment: ReadSegment,
  type: string,
): Result<Pick<ResultTree, 'value' | 'valueText' | 'comparator'>> {
  if (segment.whole(5) === '') return ok({})
  switch (type) {
    case 'NM':
      return numberOf(segment, 1)
    case 'SN': {
      // Comparator, number, separator, second number: a range is no measurement either.
      const comparator = segment.text(5, 1) || segment.text(5, 3)
      if (segment.text(5, 2) === '') return ok(comparator === '' ? {} : { comparator })
      const number = numberOf(segment, 2)
      return !number.ok || comparator === '' ? number : ok({ ...number.value, comparator })
    }
    case 'CE':
    case 'CWE':
    case 'CNE': {
      const [code, text] = [segment.text(5, 1), segment.text(5, 2)]
      return ok({ ...(code === '' ? {} : { value: code }), ...(text === '' ? {} : { valueText: text }) })
    }
    default:
      return ok({ value: segment.whole(5) })
  }
}

/** A sign, digits and a decimal point, nothing else. Source: HL7 v2.5.1 section 2.A.47, NM. */
const NUMBER = /^[+-]?(?:\d{1,20}(?:\.\d{0,20})?|\.\d{1,20})$/

function numberOf(segment: ReadSegment, component: number): Result<{ value: number }> {
  const written = segment.text(5, component)
  if (segment.repetitions(5) > 1) {
    const remedy = 'Send each value in an OBX of its own, with its own sub-id.'
    return refused([inputError('value', 'TOO_MANY', segment.place(5), 'one value', remedy)])
  }
  if (!NUMBER.test(written)) {
    const expected = 'a number: digits, with a decimal point where it has a fraction'
    const remedy = 'Send the digits alone; the unit belongs into OBX-6.'
    return refused([inputError('value', 'WRONG_TYPE', segment.place(5), expected, remedy)])
  }
  return ok({ value: Number(written) })
}

/** The coding of OBX-6 that is of UCUM or MDC. A unit without its system is a text, and no unit. */
function unitOf(segment: ReadSegment): Pick<ResultTree, 'unit' | 'unitSystem'> {
  const unit = codesOf(segment, 6).find(({ system }) => system === 'UCUM' || system === 'MDC')
  return unit === undefined ? {} : { unit: unit.code, unitSystem: unit.system }
}

/** All that OBX-6 says of the unit: both codings and the original text of a CWE. */
function unitTexts(segment: ReadSegment): readonly string[] {
  return [1, 2, 4, 5, 9].map((component) => {
    const text = segment.text(6, component)
    return text === MDC_MMHG ? 'mmHg' : text
  })
}

/** ISO/IEEE 11073: MDC_DIM_MMHG. Source: HL7 Personal Health Device guide 2.0.0. */
const MDC_MMHG = '266016'

function twoUnits(segment: ReadSegment): Issue {
  const expected = 'one unit, alike by its code, its words and its alternate coding'
  return inputError('code-invalid', 'CODE', segment.place(6), expected, 'Name the unit that was measured in.')
}

/** An OBX of a pressure that has a value and no unit that could be meant. */
export function unitIssue(segment: ReadSegment): Issue {
  const expected = 'the unit and its code system: mm[Hg]^mm[Hg]^UCUM, kPa^kPa^UCUM or 266016^MDC_DIM_MMHG^MDC'
  return inputError(
    'code-invalid',
    'CODE',
    segment.place(6),
    expected,
    'Name the code system in the third component.',
  )
}
