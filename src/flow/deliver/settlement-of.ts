import type { OutboxEntry, PutOff, Settlement } from '../../core/outbox/entry.ts'
import { putOff } from '../../core/outbox/put-off.ts'
import type { Ports } from '../ports/ports.ts'
import type { CourseResult } from './errand/course.ts'

/**
 * Attempts after which what is known as held, and is not shown, is left to a person: a few hours, by default. Common
 * practice: an index lags by minutes, and what is behind the entry waits as long.
 */
const ATTEMPTS_NOT_SHOWN = 12

/**
 * What becomes of an entry after its course, by the policy of this deployment. What was uncertain before stays so until
 * the destination has it: looking once more costs little, and missing it would make something twice.
 */
export function settlementOf(
  result: CourseResult,
  entry: Pick<OutboxEntry, 'attempts' | 'uncertain' | 'lastProblem'>,
  learnt: Pick<PutOff, 'said' | 'held'>,
  { policy, clock, random }: Pick<Ports, 'policy' | 'clock' | 'random'>,
): Settlement {
  const { uncertain } = entry
  switch (result.kind) {
    case 'done': {
      const { created, alreadyThere, updated } = result
      const { said: _, ...held } = learnt
      return { state: 'settled', created, alreadyThere, updated, ...held }
    }
    case 'refused':
      return { state: 'given-up', problem: result.problem, uncertain, ...learnt }
    case 'park': {
      const isUnknown = result.problem === 'OUTCOME_UNKNOWN'
      return { state: 'parked', problem: result.problem, uncertain: uncertain || isUnknown, ...learnt }
    }
    // The ladder goes on by itself as long as there is a rung; here there was none.
    case 'not-offered':
      return { state: 'parked', problem: 'CLINIC_NO_WAY', uncertain, ...learnt }
    case 'stop': {
      const { problem } = result
      return { state: 'waiting', dueMs: clock.now(), problem, uncertain, untried: true, ...learnt }
    }
    case 'not-now':
    case 'unknown': {
      const wait: { readonly retryAfterMs?: number; readonly untried?: true; readonly quiet?: true } =
        result.kind === 'unknown' ? {} : result
      // That its server is left alone says less than what was heard of it when the entry was tried.
      const problem =
        result.problem === 'CLINIC_RESTING' ? (entry.lastProblem ?? result.problem) : result.problem
      // Again: that its server was down for long is no reason to look once only.
      const isAgain = wait.quiet === true && entry.lastProblem === result.problem
      if (isAgain && entry.attempts + 1 >= ATTEMPTS_NOT_SHOWN) {
        return { state: 'given-up', problem: result.problem, uncertain, ...learnt }
      }
      const next = putOff(entry.attempts + 1, problem, policy.delivery, clock.now(), random, {
        ...(wait.retryAfterMs === undefined ? {} : { retryAfterMs: wait.retryAfterMs }),
        ...(wait.untried === undefined ? {} : { untried: wait.untried }),
        ...(wait.quiet === undefined ? {} : { quiet: wait.quiet }),
        uncertain: uncertain || result.kind === 'unknown',
      })
      return { ...next, ...learnt }
    }
  }
}
