import { InvalidArgumentError } from 'commander'

/** The value of an option that counts from 1. */
export function wholeNumber(text: string): number {
  const value = Number(text)
  if (!Number.isInteger(value) || value < 1) throw new InvalidArgumentError('Give a whole number, 1 or more.')
  return value
}
