/**
 * Whether a code is in a set of codes: yes, no, or undefined when that cannot be told without a terminology server.
 *
 * @param system of the coding; `''` when it states none. Undefined for an element of type `code`, whose system is
 *   whichever the set draws the code from.
 */
export type Membership = (system: string | undefined, code: string) => boolean | undefined

export const NOBODY: Membership = () => false
export const UNKNOWN: Membership = () => undefined

/** In at least one of them. */
export function inAny(sets: readonly Membership[]): Membership {
  const [only = NOBODY] = sets
  if (sets.length < 2) return only
  return (system, code) => {
    let answer: boolean | undefined = false
    for (const set of sets) {
      const found = set(system, code)
      if (found) return true
      if (found === undefined) answer = undefined
    }
    return answer
  }
}

/** In every one of them. */
export function inAll(sets: readonly Membership[]): Membership {
  const [only = NOBODY] = sets
  if (sets.length < 2) return only
  return (system, code) => {
    let answer: boolean | undefined = true
    for (const set of sets) {
      const found = set(system, code)
      if (found === false) return false
      if (found === undefined) answer = undefined
    }
    return answer
  }
}

/** In the first and not in the second. */
export function inOneNotOther(one: Membership, other: Membership): Membership {
  return inAll([one, (system, code) => negated(other(system, code))])
}

/** What `codes` says, of codings of one system. */
export function ofSystem(system: string, codes: (code: string) => boolean | undefined): Membership {
  return (asked, code) => (asked === undefined || asked === system ? codes(code) : false)
}

function negated(answer: boolean | undefined): boolean | undefined {
  return answer === undefined ? undefined : !answer
}
