/**
 * Who did something, as audit rows name it: `operator`, or `operator#3fa94c0d2b1e` with the id of the key it was done
 * with.
 */
export function actorText(who: string, key: string | undefined): string {
  return key === undefined ? who : `${who}#${key}`
}
