/** A place as a FHIRPath: from `start` by names and by positions in lists. */
export function placeText(start: string, steps: readonly (string | number)[]): string {
  let text = start
  for (const step of steps) text += typeof step === 'number' ? `[${step}]` : `.${step}`
  return text
}
