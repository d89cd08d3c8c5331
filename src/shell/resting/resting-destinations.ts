import {
  CircuitState,
  ConsecutiveBreaker,
  circuitBreaker,
  DelegateBackoff,
  handleWhenResult,
  isBrokenCircuitError,
} from 'cockatiel'
import type { Log } from '../../flow/ports/ports.ts'

/** When a destination that fails is left alone, and how long. */
export interface RestRule {
  /** Failures in a row. */
  readonly failuresBeforeRest: number
  /** The first rest; each one after a failed try is twice as long. */
  readonly restMs: number
  readonly longestRestMs: number
}

/** What holds where nothing else is said. Common practice; no source fixes it. */
export const REST_DEFAULTS: RestRule = {
  failuresBeforeRest: 5,
  restMs: 30_000,
  longestRestMs: 10 * 60 * 1000,
}

/** Destinations that failed one request after the other, and are left alone for a while. */
export interface RestingDestinations<Answer extends object> {
  /** Asks a destination, and takes note of whether that failed; or says that it rests, and nothing was asked. */
  unlessResting(destination: string, ask: () => Promise<Answer>): Promise<Answer | Resting>
  /** Why a destination must not be asked now; undefined when it may be. */
  restOf(destination: string): Resting | undefined
  /** Names of those that rest. One whose rest is over is none of them: the next request tries whether it answers. */
  names(): readonly string[]
}

export interface Resting {
  readonly kind: 'resting'
  /** Absent while one request is under way that tries whether the destination answers again. */
  readonly retryAfterMs?: number
}

/**
 * A circuit breaker for each destination. After so many failures in a row it rests; then one request is let through, and
 * when that fails too it rests twice as long as before. A rest that the clock, set back meanwhile, would draw out is over.
 */
export function restingDestinations<Answer extends object>(
  rule: RestRule,
  failed: (answer: Answer) => boolean,
  log: Log,
): RestingDestinations<Answer> {
  const guards = new Map<string, ReturnType<typeof newGuard>>()

  function newGuard(destination: string) {
    const failures = new WeakSet<object>()
    let restMs = 0
    let untilMs = 0
    const breaker = circuitBreaker(
      handleWhenResult((result) => typeof result === 'object' && result !== null && failures.has(result)),
      {
        breaker: new ConsecutiveBreaker(rule.failuresBeforeRest),
        halfOpenAfter: new DelegateBackoff(({ attempt }) => {
          restMs = Math.min(rule.restMs * 2 ** (attempt - 1), rule.longestRestMs)
          return restMs
        }),
      },
    )
    breaker.onBreak(() => {
      // Read after the breaker read its own clock, so that it has ended its rest when we say that it is over.
      untilMs = Date.now() + restMs
      log.warn('clinic-rests', { destination, ms: restMs })
    })
    breaker.onReset(() => log.info('clinic-answers-again', { destination }))

    /** The rest would outlast the longest there is: the clock was set back meanwhile. */
    function isOutOfTime(): boolean {
      return breaker.state === CircuitState.Open && untilMs - Date.now() > rule.longestRestMs
    }

    function rest(): Resting | undefined {
      if (breaker.state === CircuitState.HalfOpen) return { kind: 'resting' }
      const retryAfterMs = untilMs - Date.now()
      return breaker.state === CircuitState.Open && retryAfterMs > 0
        ? { kind: 'resting', retryAfterMs }
        : undefined
    }

    async function run(ask: () => Promise<Answer>): Promise<Answer | Resting> {
      const resting = rest()
      if (resting !== undefined) return resting
      try {
        return await breaker.execute(async () => {
          const answer = await ask()
          if (failed(answer)) failures.add(answer)
          return answer
        })
      } catch (thrown) {
        // The clock was set back meanwhile, or another request was let through just now.
        if (isBrokenCircuitError(thrown)) return { kind: 'resting', retryAfterMs: 1 }
        throw thrown
      }
    }

    return { rest, run, isOutOfTime }
  }

  /** Undefined where it was never asked, or is to be asked as if it never was. */
  function inTime(destination: string) {
    if (guards.get(destination)?.isOutOfTime() === true) guards.delete(destination)
    return guards.get(destination)
  }

  function guardOf(destination: string) {
    const guard = inTime(destination) ?? newGuard(destination)
    guards.set(destination, guard)
    return guard
  }

  return {
    unlessResting: (destination, ask) => guardOf(destination).run(ask),
    restOf: (destination) => inTime(destination)?.rest(),
    names: () => [...guards.keys()].filter((name) => inTime(name)?.rest() !== undefined),
  }
}
