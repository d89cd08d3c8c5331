/**
 * Text as a name may be: no control characters, no white space at either end, not `.` or `..`. The same rule as in a session
 * record.
 */
export const NAME = /^(?!\s)(?!\.{1,2}$)[^\p{Cc}\p{Cs}]{1,200}(?<!\s)$/u

/** What `NAME` asks, in words. */
export const NAME_EXPECTED =
  'text of 1 to 200 characters without control characters or white space at either end, other than one dot or two'
