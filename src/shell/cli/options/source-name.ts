import { InvalidArgumentError } from 'commander'
import { SOURCE_NAME } from '../../../core/registry/source.ts'

/** The name of a source as an option gives it. A wrong one is a fault of the command line, not of each record. */
export function sourceName(text: string): string {
  if (SOURCE_NAME.test(text)) return text
  throw new InvalidArgumentError(
    'Give lower-case letters, digits and hyphens, at most 63, beginning with a letter or digit.',
  )
}
