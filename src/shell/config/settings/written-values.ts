import { z } from 'zod'

/** An http or https address, kept without its trailing slashes. */
export const webAddress = z
  .string()
  .refine(isBaseUrl, 'an http or https address without blanks, user, query or fragment')
  .transform((text) => text.replace(/\/+$/, ''))

/**
 * The place where tokens are issued, kept as it is written: assertions name it letter by letter. It may have a query, and
 * no fragment. Source: RFC 6749 section 3.2.
 */
export const tokenAddress = z
  .string()
  .refine(isPlainAddress, 'an http or https address without blanks, user or fragment')

/** A secret as written: the text itself, or the environment variable that holds it. */
export const writtenSecret = z.union([
  z.string().min(1),
  z.strictObject({
    env: z.string().regex(/^[A-Za-z_][A-Za-z0-9_]*$/, 'the name of an environment variable'),
  }),
])

export type WrittenSecret = z.output<typeof writtenSecret>

function isBaseUrl(text: string): boolean {
  return isPlainAddress(text) && new URL(text).search === ''
}

/** A blank would be taken off by whoever reads an address, and stay where its text is compared or written. */
function isPlainAddress(text: string): boolean {
  if (/\s/.test(text) || !URL.canParse(text)) return false
  const { protocol, username, password, hash } = new URL(text)
  return ['https:', 'http:'].includes(protocol) && username === '' && password === '' && hash === ''
}
