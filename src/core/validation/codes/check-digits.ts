/**
 * Whether a text is a LOINC number, one to seven digits, that ends in its check digit: `85354-9`.
 * Source: LOINC Users' Guide, appendix on the Mod 10 check digit: every second digit from the right is doubled.
 */
export function hasLoincCheckDigit(code: string): boolean {
  const last = code.length - 1
  if (last < 2 || last > 8 || code.charCodeAt(last - 1) !== HYPHEN) return false
  let sum = digitAt(code, last)
  if (!(sum >= 0 && sum <= 9)) return false
  let doubled = true
  for (let i = last - 2; i >= 0; i--) {
    const digit = digitAt(code, i)
    if (!(digit >= 0 && digit <= 9)) return false
    const twice = digit * 2
    sum += !doubled ? digit : twice > 9 ? twice - 9 : twice
    doubled = !doubled
  }
  return sum % 10 === 0
}

/**
 * Whether a text of digits is a SNOMED CT identifier, 6 to 18 long, that ends in its check digit.
 * Source: SNOMED CT Release File Specification, section on the check digit: Verhoeff's dihedral check.
 */
export function hasVerhoeffCheckDigit(code: string): boolean {
  if (code.length < 6 || code.length > 18) return false
  let check = 0
  for (let i = 0; i < code.length; i++) {
    const digit = digitAt(code, code.length - 1 - i)
    const permuted = PERMUTATION[i % 8]?.[digit] ?? 0
    check = MULTIPLICATION[check]?.[permuted] ?? 0
  }
  return check === 0
}

/**
 * Whether a SNOMED CT identifier is of a concept: the two digits before the check digit are 00, or 10 in an extension.
 * Those of descriptions and relationships are other. Source: SNOMED CT Release File Specification, partition identifier.
 */
export function isConceptId(identifier: string): boolean {
  const partition = identifier.slice(-3, -1)
  return partition === '00' || partition === '10'
}

const HYPHEN = 45
const ZERO = 48

function digitAt(text: string, index: number): number {
  return text.charCodeAt(index) - ZERO
}

/** Multiplication in the dihedral group of order ten. */
const MULTIPLICATION = [
  [0, 1, 2, 3, 4, 5, 6, 7, 8, 9],
  [1, 2, 3, 4, 0, 6, 7, 8, 9, 5],
  [2, 3, 4, 0, 1, 7, 8, 9, 5, 6],
  [3, 4, 0, 1, 2, 8, 9, 5, 6, 7],
  [4, 0, 1, 2, 3, 9, 5, 6, 7, 8],
  [5, 9, 8, 7, 6, 0, 4, 3, 2, 1],
  [6, 5, 9, 8, 7, 1, 0, 4, 3, 2],
  [7, 6, 5, 9, 8, 2, 1, 0, 4, 3],
  [8, 7, 6, 5, 9, 3, 2, 1, 0, 4],
  [9, 8, 7, 6, 5, 4, 3, 2, 1, 0],
]

/** What each digit becomes by its place, from the right; repeats after eight places. */
const PERMUTATION = [
  [0, 1, 2, 3, 4, 5, 6, 7, 8, 9],
  [1, 5, 7, 6, 2, 8, 3, 0, 9, 4],
  [5, 8, 0, 3, 7, 9, 6, 1, 4, 2],
  [8, 9, 1, 6, 0, 4, 3, 5, 2, 7],
  [9, 4, 5, 3, 1, 2, 6, 8, 7, 0],
  [4, 2, 8, 6, 5, 7, 3, 9, 0, 1],
  [2, 7, 9, 3, 8, 0, 6, 4, 1, 5],
  [7, 0, 4, 6, 9, 1, 3, 2, 5, 8],
]
