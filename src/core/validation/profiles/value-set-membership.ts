/** Knows which codes value sets hold, without a server. */
export interface ValueSetMembership {
  /**
   * Whether the value set holds the code; undefined when that is not known here.
   *
   * @param valueSet canonical URL, with or without a version.
   */
  readonly holds: (valueSet: string, system: string | undefined, code: string) => boolean | undefined
}
