/** A probability for a person: two significant digits, or "less than 0.001". */
export function probabilityText(probability: number): string {
  return probability < 0.001 ? 'less than 0.001' : probability.toPrecision(2)
}
