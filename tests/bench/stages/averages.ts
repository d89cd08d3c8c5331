import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { addDays } from '../../../src/core/basics/local-day.ts'
import type { SweepRequest } from '../../../src/flow/ports/ports.ts'
import { openSqliteStore } from '../../../src/shell/store/open-sqlite-store.ts'
import { shippedProtocol } from '../../support/shipped-profiles.ts'
import { DAYS, FIRST_DAY, fillPeople, READINGS } from '../fill-people.ts'
import { type MeasuredMeans, sqlMeans } from '../floors/sql-means.ts'
import { type Measured, median } from '../measure.ts'
import { measuredProcess } from '../measured-process.ts'

const FEW = 10_000
const MANY = 100_000
const ROUNDS = 3
/** As many batches with few people as with many, so that both leave as much garbage. */
const ROUNDS_OF_FEW = (ROUNDS * MANY) / FEW
const GOAL_TIMES = 2
const GOAL_RESIDENT_MB = 200
const GOAL_DELAY_MS = 20
/** Resident memory may differ by this much from few people to many and still be called flat. A local choice. */
const GOAL_GROWTH_MB = 20
/** Ten times the people may take this many times as long. A local choice: a process that has just started is slower. */
const GOAL_LINEAR = 12

/** The sweep of the built store through its port, once to warm up; the delay is that of the thread that asked for it. */
const PROCESS = `
import { monitorEventLoopDelay } from 'node:perf_hooks'
const [built, file, request, rounds] = process.argv.slice(1)
const { openSqliteStore } = await import(built)
const store = await openSqliteStore({ file, readingsAtOnce: new Set(), attentionAtOnce: new Set() })
const delay = monitorEventLoopDelay({ resolution: 1 })
const ms = []
let people = 0
for (let round = 0; round <= Number(rounds); round += 1) {
  if (round === 1) delay.enable()
  const start = performance.now()
  people = 0
  for await (const batch of store.sweep(JSON.parse(request))) people += batch.length
  if (round > 0) ms.push(performance.now() - start)
}
delay.disable()
await store.close()
const peakMb = process.resourceUsage().maxRSS / 1024
console.log(JSON.stringify({ ms, people, peakMb, delayMs: delay.percentile(99) / 1e6 }))
`

interface MeasuredSweep extends MeasuredMeans {
  /** 99th percentile. */
  readonly delayMs: number
}

/**
 * Everyone's average under a published protocol, in each person's own zone, against one plain SQL aggregate over the
 * same readings; with ten thousand people and with a hundred thousand.
 */
export async function measureAverages(): Promise<Measured> {
  const folder = mkdtempSync(join(tmpdir(), 'bench-averages-'))
  try {
    const few = await measurePeople(join(folder, 'few.db'), FEW, ROUNDS_OF_FEW)
    const many = await measurePeople(join(folder, 'many.db'), MANY, ROUNDS)
    const floorMs = median(many.floor.ms)
    const oursMs = median(many.ours.ms)
    const times = oursMs / floorMs
    const linear = oursMs / median(few.ours.ms)
    const growth = many.ours.peakMb - few.ours.peakMb
    return {
      stage: 'averages',
      unit: 'people',
      floor: {
        what: 'SQL aggregate per person, morning and evening apart',
        perSecond: MANY / (floorMs / 1000),
      },
      ours: { what: 'sweep: select, average, by local day and window', perSecond: MANY / (oursMs / 1000) },
      goal: `within ${GOAL_TIMES} times the floor, resident below ${GOAL_RESIDENT_MB} MB and flat, linear, delay p99 below ${GOAL_DELAY_MS} ms`,
      reached:
        times <= GOAL_TIMES &&
        many.ours.peakMb < GOAL_RESIDENT_MB &&
        growth < GOAL_GROWTH_MB &&
        linear <= GOAL_LINEAR &&
        many.ours.delayMs < GOAL_DELAY_MS,
      also: {
        timesTheFloor: times,
        floorMs,
        oursMs,
        oursMsOfTenThousand: median(few.ours.ms),
        residentMb: many.ours.peakMb,
        residentMbOfTenThousand: few.ours.peakMb,
        residentMbOfFloor: many.floor.peakMb,
        delayP99Ms: many.ours.delayMs,
        readings: MANY * DAYS * READINGS,
      },
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

async function measurePeople(
  file: string,
  people: number,
  rounds: number,
): Promise<{ readonly floor: MeasuredMeans; readonly ours: MeasuredSweep }> {
  process.stderr.write(`  filling a store with ${people} people …\n`)
  const none = new Set<string>()
  const store = await openSqliteStore({ file, readingsAtOnce: none, attentionAtOnce: none, inThread: true })
  await store.close()
  fillPeople(file, people)
  const request: SweepRequest = {
    protocol: shippedProtocol('nice-ng136-home'),
    firstDay: FIRST_DAY,
    lastDay: addDays(FIRST_DAY, DAYS - 1),
  }
  const built = pathToFileURL(resolve(process.env.GATEWAY_DIST ?? 'dist', 'shell/store/open-sqlite-store.js'))
  const words = [built.href, file, JSON.stringify(request), String(rounds)]
  const floor = await sqlMeans(file, ROUNDS)
  const ours = await measuredProcess<MeasuredSweep>(PROCESS, words)
  if (floor.people !== people || ours.people !== people) {
    throw new Error(`${floor.people} and ${ours.people} people were averaged, not ${people}`)
  }
  return { floor, ours }
}
