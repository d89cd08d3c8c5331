import cron, { type ScheduledTask } from 'node-cron'
import { GatewayError, SettingsRefused, sqliteOf } from '../../core/basics/gateway-error.ts'
import { faultText } from '../../flow/ports/own-fault.ts'
import type { Log } from '../../flow/ports/ports.ts'

/** A job and its cron expression, five or six fields, read in UTC. */
export interface ScheduledJob {
  readonly cron: string
  /** @param stopping aborted once it is to begin nothing more. */
  readonly run: (stopping: AbortSignal) => Promise<unknown>
}

export interface ScheduledJobs {
  readonly followArrivals: ScheduledJob
  readonly closeDuePeriods: ScheduledJob
  readonly deliverOutbox: ScheduledJob
  readonly forgetAnswers: ScheduledJob
}

export interface Schedule {
  /** Starts no job any more, tells those that run, and resolves when they are done. */
  stop(): Promise<void>
}

/**
 * Starts the jobs by the clock. A run that is due while the last is still at work is left out, so a job never runs
 * beside itself.
 *
 * The schedule is in UTC and only wakes the jobs: a cron job at a local hour that a clock change skips does not run
 * that day, and a service that was down misses its hour. What is due is read from the store, by each job itself.
 *
 * @throws SettingsRefused when an expression cannot be read; no job is started then.
 */
export function startSchedule(jobs: ScheduledJobs, log: Log): Schedule {
  const named = Object.entries(jobs)
  for (const [name, job] of named) {
    if (!cron.validate(job.cron)) {
      throw new SettingsRefused(`schedule.${name}: expected a cron expression of five or six fields`)
    }
  }
  const running = new Set<Promise<void>>()
  const stopping = new AbortController()
  const tasks = named.map(([name, job]): ScheduledTask => {
    const round = () => {
      const work = runOnce(name, () => job.run(stopping.signal), log).finally(() => running.delete(work))
      running.add(work)
      return work
    }
    const task = cron.schedule(job.cron, round, { name, timezone: 'UTC', noOverlap: true, logger: silent })
    task.on('execution:missed', () => log.warn('scheduled-round-missed', { job: name }))
    return task
  })

  return {
    async stop() {
      stopping.abort()
      for (const task of tasks) await task.destroy()
      await Promise.all(running)
    },
  }
}

/** A failed round is reported and left to the next: what it did not do is still due. */
async function runOnce(name: string, run: () => Promise<unknown>, log: Log): Promise<void> {
  try {
    await run()
  } catch (thrown) {
    log.error('scheduled-job-failed', {
      job: name,
      code: thrown instanceof GatewayError ? thrown.code : 'UNEXPECTED',
      error: faultText(thrown),
      ...sqliteOf(thrown),
    })
  }
}

/** The scheduler writes its remarks for people, to the console; what matters of them is heard as events. */
const silent = {
  info: () => undefined,
  warn: () => undefined,
  error: () => undefined,
  debug: () => undefined,
}
