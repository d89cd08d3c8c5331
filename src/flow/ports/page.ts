/**
 * Keyset page: rows after the cursor, at most `limit`. The cursor is the key of the row the previous page ended with:
 * an entry's or audit row's number in decimal, a period's id, an enrolment's source and subject as `source/subject`,
 * a waiting subject's name.
 */
export interface Page {
  readonly after?: string
  readonly limit: number
}
