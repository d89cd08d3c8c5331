/**
 * Whether a text is formed as a language tag: `en`, `de-CH-1996`, `zh-Hant-TW`, `x-clinic`. In any capitals.
 *
 * Whether each part of it is registered takes IANA's registry to say, but for the first: only those of two and three
 * letters are, so that words such as `english` are none.
 *
 * Source: BCP 47 (RFC 5646), 2.1 and 2.2.1.
 */
export function isLanguageTag(text: string): boolean {
  return text.length <= LONGEST && (TAG.test(text) || IRREGULAR.has(text.toLowerCase()))
}

/** Characters. RFC 5646 sets no limit, and 4.4.1 has the longest that need be expected at 35. */
const LONGEST = 1000

const LANGUAGE = '[a-z]{2,3}(?:-[a-z]{3}){0,3}'
const SCRIPT = '(?:-[a-z]{4})?'
const REGION = '(?:-(?:[a-z]{2}|\\d{3}))?'
const VARIANTS = '(?:-(?:[a-z\\d]{5,8}|\\d[a-z\\d]{3}))*'
const EXTENSIONS = '(?:-[a-wyz\\d](?:-[a-z\\d]{2,8})+)*'
const PRIVATE = 'x(?:-[a-z\\d]{1,8})+'

const TAG = new RegExp(
  `^(?:${LANGUAGE}${SCRIPT}${REGION}${VARIANTS}${EXTENSIONS}(?:-${PRIVATE})?|${PRIVATE})$`,
  'i',
)

/** Registered before the rules, and not formed by them. */
const IRREGULAR: ReadonlySet<string> = new Set([
  'en-gb-oed',
  'i-ami',
  'i-bnn',
  'i-default',
  'i-enochian',
  'i-hak',
  'i-klingon',
  'i-lux',
  'i-mingo',
  'i-navajo',
  'i-pwn',
  'i-tao',
  'i-tay',
  'i-tsu',
  'sgn-be-fr',
  'sgn-be-nl',
  'sgn-ch-de',
])
