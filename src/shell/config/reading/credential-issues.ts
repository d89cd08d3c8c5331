import type { Issue } from '../../../core/basics/issue.ts'
import type { DestinationAccess } from '../../../core/registry/destination.ts'
import { settingsProblem } from '../settings-refused.ts'

/** Characters of a token in a header: visible ones of ASCII. Wider than RFC 6750 section 2.1, as what servers issue is. */
const TOKEN = /^[!-~]+$/

/** Control characters have no place in a user or a password, nor a colon in a user. Source: RFC 7617 section 2. */
const USER = /^[^\p{Cc}:]+$/u
const PASSWORD = /^\P{Cc}+$/u

/**
 * Credentials that no request could carry as they are, such as a token with the end of the line it was read from. What
 * is empty was told of before.
 *
 * @param at place of these settings: `destinations[0].access`.
 */
export function credentialIssues(access: DestinationAccess, at: string): readonly Issue[] {
  switch (access.kind) {
    case 'none':
    case 'smart-backend':
      return []
    case 'bearer':
      return unless(
        TOKEN,
        access.token,
        `${at}.token`,
        'a token of visible ASCII characters, without its scheme',
      )
    case 'basic':
      return [
        ...unless(USER, access.user, `${at}.user`, 'a user without colon and control characters'),
        ...unless(PASSWORD, access.password, `${at}.password`, 'a password without control characters'),
      ]
  }
}

function unless(form: RegExp, text: string, at: string, expected: string): readonly Issue[] {
  const remedy = 'Remove what does not belong to it: often a blank or the end of a line.'
  return text === '' || form.test(text) ? [] : [settingsProblem(at, expected, remedy)]
}
