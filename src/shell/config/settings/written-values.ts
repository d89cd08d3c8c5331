import { z } from 'zod'

/** An http or https address, kept without its trailing slashes. */
export const webAddress = z
  .string()
  .refine(isBaseUrl, 'an http or https address without user, query or fragment')
  .transform((text) => text.replace(/\/+$/, ''))

/** A secret as written: the text itself, or the environment variable that holds it. */
export const writtenSecret = z.union([
  z.string().min(1),
  z.strictObject({
    env: z.string().regex(/^[A-Za-z_][A-Za-z0-9_]*$/, 'the name of an environment variable'),
  }),
])

export type WrittenSecret = z.output<typeof writtenSecret>

function isBaseUrl(text: string): boolean {
  if (!URL.canParse(text)) return false
  const url = new URL(text)
  const plain = url.username === '' && url.password === '' && url.search === '' && url.hash === ''
  return plain && (url.protocol === 'https:' || url.protocol === 'http:')
}
