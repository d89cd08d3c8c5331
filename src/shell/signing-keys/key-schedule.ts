import type { SmartBackendAccess } from '../../core/registry/destination.ts'

/** Both must be known to a client; a server need know only one. Source: SMART App Launch 2.2, asymmetric authentication. */
export const SIGNING_ALGORITHMS = ['ES384', 'RS384'] as const
export type SigningAlgorithm = SmartBackendAccess['algorithm']

/**
 * How long others may keep our key set, as its Cache-Control says; a server must not keep it longer (SMART App Launch
 * 2.2, asymmetric authentication). Short, so that a rotation is soon done; a fetch costs next to nothing. Common practice.
 */
export const KEY_SET_MAX_AGE_SECONDS = 300

/** Added to the age above for the time an answer is on its way and for clocks that go unevenly. Common practice. */
export const ANNOUNCEMENT_MARGIN_MS = 60_000

/** From a key's announcement until it may sign, where anybody can hold a key set without it. */
export const ANNOUNCED_BEFORE_SIGNING_MS = KEY_SET_MAX_AGE_SECONDS * 1_000 + ANNOUNCEMENT_MARGIN_MS

/**
 * The longest life of an assertion (SMART App Launch 2.2: `exp` at most five minutes ahead): so long a key is needed after
 * it last signed.
 */
export const PUBLISHED_AFTER_SIGNING_MS = 300_000

/** What of a key decides over its life. Epoch milliseconds. */
export interface KeyTimes {
  readonly algorithm: SigningAlgorithm
  readonly kid: string
  /** From when on it is in our key set. */
  readonly announcedMs: number
  readonly signsFromMs: number
}

/** A key with the end of its life, which the next key of its algorithm gives; none while there is no next one. */
export interface ScheduledKey<K extends KeyTimes> {
  readonly key: K
  /** From this moment on it does not sign. */
  readonly signsUntilMs?: number
  /** From this moment on it is in our key set no more. */
  readonly publishedUntilMs?: number
}

/**
 * - `announced`: in our key set, and not signing yet, because a server may still hold the set from before.
 * - `signing`: the one of its algorithm that signs.
 * - `retiring`: signs no more; in our key set as long as an assertion signed with it may be read.
 * - `dropped`: of no use any more.
 */
export type KeyState = 'announced' | 'signing' | 'retiring' | 'dropped'

/**
 * The keys of each algorithm in the order in which they sign, each with the end of its life. That end is worked out and
 * written nowhere: a rotation is then one new file, and cannot be half done.
 */
export function schedule<K extends KeyTimes>(keys: readonly K[]): readonly ScheduledKey<K>[] {
  return SIGNING_ALGORITHMS.flatMap((algorithm) => {
    const inOrder = keys.filter((key) => key.algorithm === algorithm).sort(bySigning)
    return inOrder.map((key, index) => {
      const next = inOrder[index + 1]
      if (next === undefined) return { key }
      const signsUntilMs = next.signsFromMs
      return { key, signsUntilMs, publishedUntilMs: signsUntilMs + PUBLISHED_AFTER_SIGNING_MS }
    })
  })
}

export function stateAt(
  { key, signsUntilMs, publishedUntilMs }: ScheduledKey<KeyTimes>,
  nowMs: number,
): KeyState {
  if (publishedUntilMs !== undefined && nowMs >= publishedUntilMs) return 'dropped'
  if (signsUntilMs !== undefined && nowMs >= signsUntilMs) return 'retiring'
  return nowMs >= key.signsFromMs ? 'signing' : 'announced'
}

/** The key that signs now with an algorithm; undefined when there is none. */
export function signerAt<K extends KeyTimes>(
  keys: readonly K[],
  algorithm: SigningAlgorithm,
  nowMs: number,
): K | undefined {
  return schedule(keys).find((one) => one.key.algorithm === algorithm && stateAt(one, nowMs) === 'signing')
    ?.key
}

/** The keys of our key set now. */
export function publishedAt<K extends KeyTimes>(keys: readonly K[], nowMs: number): readonly K[] {
  return schedule(keys)
    .filter((one) => stateAt(one, nowMs) !== 'dropped')
    .map(({ key }) => key)
}

/**
 * From when on a key that is announced now may sign. At once when our key set has been empty, which nobody is let keep;
 * else when no server can hold a set without it any more.
 */
export function signsFrom(keys: readonly KeyTimes[], nowMs: number): number {
  return publishedAt(keys, nowMs).length === 0 ? nowMs : nowMs + ANNOUNCED_BEFORE_SIGNING_MS
}

function bySigning(one: KeyTimes, other: KeyTimes): number {
  return (
    one.signsFromMs - other.signsFromMs ||
    one.announcedMs - other.announcedMs ||
    (one.kid < other.kid ? -1 : 1)
  )
}
