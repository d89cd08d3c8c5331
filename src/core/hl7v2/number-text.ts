/**
 * A number as HL7's NM: the digits that JSON has for it, never rounded, with a decimal point. NM has no exponent, so
 * one is written out. Source: HL7 v2.5.1 section 2.A.47, NM.
 *
 * @param value finite.
 */
export function numberText(value: number): string {
  const text = JSON.stringify(value)
  const parts = /^(-?)(\d+)(?:\.(\d+))?e([+-]\d+)$/.exec(text)
  if (parts === null) return text
  const [, sign = '', whole = '', fraction = '', exponent = '0'] = parts
  const digits = whole + fraction
  const point = whole.length + Number(exponent)
  if (point <= 0) return `${sign}0.${'0'.repeat(-point)}${digits}`
  // JSON writes an exponent only where all digits are before the point, or all behind it.
  return `${sign}${digits.padEnd(point, '0')}`
}
