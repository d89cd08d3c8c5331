/**
 * Each R4 type and part of a type, with its elements as words between spaces. The first word may be a base: the name of
 * another entry whose elements it has too. Any other is name, cardinality and types:
 *
 * - `?` for 0..1, `!` for 1..1, `*` for 0..*, `+` for 1..*; a name ending in `[x]` is a choice
 * - the types with `|` between; `*` for those of the entry `*`
 * - `(Patient,Group)` after Reference or canonical: the types it may refer to; none means any
 * - `~` after Quantity: a SimpleQuantity, which has no comparator
 * - `#observation-status` after a type: the required words, in REQUIRED_WORDS
 */
export const ELEMENT_TABLE: Readonly<Record<string, string>>

/**
 * The codes of each value set to which an element is bound with strength required, with spaces between. Where it binds
 * CodeableConcepts, the first word is the system of the codes.
 */
export const REQUIRED_WORDS: Readonly<Record<string, string>>
