/** A kind of record, compiled. */
export interface Kind {
  readonly name: string
}
