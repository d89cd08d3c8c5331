/** One row of a published cuff table, in whole centimetres as printed. */
export interface CuffSize {
  readonly name: string
  /** Mid-upper-arm circumference, both ends inside. */
  readonly armCm: readonly [least: number, most: number]
  readonly bladderCm: { readonly width: number; readonly length: number }
}

/**
 * Cuff sizes by arm circumference. Source: AHA (Pickering 2005; Muntner 2019, doi:10.1161/HYP.0000000000000087), as on
 * the page of the AHA and AMA measurement programme.
 *
 * The table has whole numbers only, so arms of 26 to 27, 34 to 35 and 44 to 45 cm lie between two rows; that is no fault
 * of the arm, and nothing is refused for it. Size words are not the same everywhere: the NHANES 2001-02 code book calls
 * the 12 by 22 cm bladder `Adult`, which the AHA calls small adult, and has 9 by 17 `Child`, 15 by 32 `Large` and 18 by
 * 35 `Thigh`. So the centimetres on a cuff's own label decide, never a word.
 */
export const AHA_CUFF_SIZES = [
  { name: 'small adult', armCm: [22, 26], bladderCm: { width: 12, length: 22 } },
  { name: 'adult', armCm: [27, 34], bladderCm: { width: 16, length: 30 } },
  { name: 'large adult', armCm: [35, 44], bladderCm: { width: 16, length: 36 } },
  { name: 'extra-large adult (thigh)', armCm: [45, 52], bladderCm: { width: 16, length: 42 } },
] as const satisfies readonly CuffSize[]

/**
 * The rows next to an arm: the same one twice when the arm lies within it, two neighbours when it lies between them,
 * and one alone when it lies below or above the whole table.
 */
export interface RowsForArm {
  readonly upTo?: CuffSize
  readonly from?: CuffSize
}

export function rowsForArm(armCm: number): RowsForArm {
  const rows: readonly CuffSize[] = AHA_CUFF_SIZES
  const upTo = rows.findLast(({ armCm: [least] }) => armCm >= least)
  const from = rows.find(({ armCm: [, most] }) => armCm <= most)
  return { ...(upTo === undefined ? {} : { upTo }), ...(from === undefined ? {} : { from }) }
}

/** Percent of the arm's circumference that the bladder covers at least. Source: as the table. */
const LEAST_LENGTH_PERCENT = 80
const LEAST_WIDTH_PERCENT = 40

/** The least bladder an arm asks for, whatever sizes are called, in centimetres, unrounded. */
export function leastBladderCm(armCm: number): CuffSize['bladderCm'] {
  return { width: (armCm * LEAST_WIDTH_PERCENT) / 100, length: (armCm * LEAST_LENGTH_PERCENT) / 100 }
}

/** The first size of the table whose bladder is long enough for the arm, as its source works it out; or none is. */
export function sizeLongEnough(armCm: number): CuffSize | undefined {
  return AHA_CUFF_SIZES.find(({ bladderCm }) => bladderCm.length >= leastBladderCm(armCm).length)
}

/** What the table says of an arm, as a clause that follows its circumference. */
export function tableClause(armCm: number): string {
  const { upTo, from } = rowsForArm(armCm)
  if (upTo === undefined) return 'less than any row of the AHA table'
  if (from === undefined) return 'more than any row of the AHA table'
  if (upTo === from) return `for which the AHA table names the ${sizeText(from)} size`
  return `between the ${sizeText(upTo)} and ${sizeText(from)} sizes of the AHA table`
}

function sizeText({ name, armCm: [least, most] }: CuffSize): string {
  return `${name} (${least} to ${most} cm)`
}
