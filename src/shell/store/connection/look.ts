/** What one look at some of the rows of a list found. */
export interface Look<Row, Place> {
  readonly rows: readonly Row[]
  /** The place up to which was looked; absent when there is no need to look further. */
  readonly through?: Place
}

/**
 * A list looked through a piece at a time, until there are `limit` rows or no more of them, so that other calls come in
 * between however long it is.
 *
 * @param look gives at most `limit` rows after a place.
 */
export async function lookedThrough<Row, Place>(
  from: Place,
  limit: number,
  look: (after: Place, limit: number) => Promise<Look<Row, Place>>,
): Promise<readonly Row[]> {
  const found: Row[] = []
  for (let after: Place | undefined = from; after !== undefined && found.length < limit; ) {
    const { rows, through }: Look<Row, Place> = await look(after, limit - found.length)
    found.push(...rows)
    after = through
  }
  return found
}
