/** The parts of a declared form of date and time. `T` is ISO 8601's letter between date and time, no part. */
export type TimeToken = 'YYYY' | 'MM' | 'DD' | 'HH' | 'hh' | 'mm' | 'ss' | 'A' | 'Z'

/** What a text has in the place of each token. */
export const TOKEN_PATTERNS: Readonly<Record<TimeToken, string>> = {
  YYYY: '(\\d{4})',
  MM: '(\\d{2})',
  DD: '(\\d{2})',
  HH: '(\\d{2})',
  hh: '(\\d{2})',
  mm: '(\\d{2})',
  ss: '(\\d{2})',
  A: '([AP]M|[ap]m)',
  Z: '(Z|[+-]\\d{2}:?\\d{2})',
}

/** The form cut into runs of one letter and single other signs: `DD`, `.`, `MM`, ... */
export function formPieces(form: string): readonly string[] {
  return form.match(/([A-Za-z])\1*|[^A-Za-z]/gu) ?? []
}

export function isTimeToken(piece: string): piece is TimeToken {
  return Object.hasOwn(TOKEN_PATTERNS, piece)
}

/** The pattern of a form without fault, whose groups are its tokens in their order. */
export function formPattern(form: string): {
  readonly pattern: RegExp
  readonly tokens: readonly TimeToken[]
} {
  const pieces = formPieces(form)
  const source = pieces.map((piece) => (isTimeToken(piece) ? TOKEN_PATTERNS[piece] : literal(piece)))
  return { pattern: new RegExp(`^${source.join('')}$`), tokens: pieces.filter(isTimeToken) }
}

function literal(piece: string): string {
  return piece.replaceAll(/[.*+?^${}()|[\]\\/-]/g, '\\$&')
}
