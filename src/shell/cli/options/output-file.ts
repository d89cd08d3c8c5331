import { InvalidArgumentError } from 'commander'

/**
 * The value of an option that names a file to write: `-` stands for standard input, in every command, and for nothing else.
 */
export function outputFile(text: string): string {
  if (text !== '-') return text
  throw new InvalidArgumentError('Name a file to write; “-” stands for standard input alone.')
}
