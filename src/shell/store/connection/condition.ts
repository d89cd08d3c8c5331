import type { SqlValue } from './database.ts'

/** A filter in SQL, and the values of its question marks. */
export interface Condition {
  readonly sql: string
  readonly values: readonly SqlValue[]
}

/** A term with one question mark, and its value; a term whose value is undefined is not asked for. */
export type Term = readonly [sql: string, value: SqlValue | undefined]

/** All terms that are asked for, each after an AND. */
export function conditionOf(terms: readonly Term[]): Condition {
  const meant = terms.filter(([, value]) => value !== undefined)
  return {
    sql: meant.map(([sql]) => ` AND ${sql}`).join(''),
    values: meant.flatMap(([, value]) => value ?? []),
  }
}
