import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { loadavg, tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { DESTINATION, queueAgain, queueAverages, queueSessions } from '../deliver/queue-entries.ts'
import type { Ran, Run } from '../deliver/run.ts'
import { type Measured, median } from '../measure.ts'
import { type Served, serve } from '../served-process.ts'
import { type ToldProcess, tellProcess } from '../told-process.ts'

const IN_FLIGHT = [1, 8, 32] as const
const ROUNDS = 3
const GOAL = 0.5
const DELAY_MS = 20
const GOAL_DELAYED = 0.9

/** Entries of a run by the number in flight, so that each takes a few seconds. */
const SESSIONS = { entries: { 1: 2_500, 8: 6_000, 32: 6_000 }, delayed: { 1: 100, 8: 1_000, 32: 4_000 } }
const AVERAGES = { entries: { 1: 800, 8: 1_200, 32: 1_200 }, delayed: { 1: 100, 8: 800, 32: 1_200 } }

/**
 * The whole outbox (claim, render, validate, post, settle durably) of the built gateway against a server that keeps
 * nothing, beside a bare client that posts the very same bodies to it; once as fast as the server answers, and once where
 * it takes 20 ms. Sessions of three readings, rendered and validated as they go out; and averages of a week with all their
 * readings, which were when they were issued. One entry a patient, so that their order holds nobody up.
 */
export async function measureDeliveries(): Promise<readonly Measured[]> {
  const clinic = await serve(['--import', 'tsx', join(import.meta.dirname, '../deliver/null-clinic.ts')])
  const folder = mkdtempSync(join(tmpdir(), 'bench-deliver-'))
  try {
    const sessions = join(folder, 'sessions.db')
    const ofSessions = { store: sessions, queued: queueSessions(sessions, mostOf(SESSIONS)) }
    const averages = join(folder, 'averages.db')
    const ofAverages = { store: averages, queued: await queueAverages(averages, mostOf(AVERAGES)) }
    return [
      ...(await measureKind('sessions', ofSessions, SESSIONS, clinic)),
      ...(await measureKind('averages', ofAverages, AVERAGES, clinic)),
    ]
  } finally {
    await clinic.stop()
    rmSync(folder, { recursive: true, force: true })
  }
}

type Sizes = typeof SESSIONS

async function measureKind(
  kind: string,
  { store, queued }: { readonly store: string; readonly queued: number },
  sizes: Sizes,
  clinic: Served,
): Promise<Measured[]> {
  const settings = `${store}.json`
  writeFileSync(
    settings,
    JSON.stringify({
      store: { file: store },
      destinations: [{ name: DESTINATION, baseUrl: clinic.url }],
      log: { level: 'error' },
    }),
  )
  const dist = resolve(process.env.GATEWAY_DIST ?? 'dist')
  const ours = ownProcess('outbox-runs.ts', [dist, settings])
  const record = `${store}.ndjson`
  await ours.run({ inFlight: 8, entries: queued, record })
  const floor = ownProcess('bare-posts.ts', [record, clinic.url])
  try {
    const measured: Measured[] = []
    for (const inFlight of IN_FLIGHT) {
      const asked = { inFlight, entries: sizes.entries[inFlight] }
      measured.push(await besideFloor(`deliver ${kind}`, store, asked, floor, ours))
    }
    await answerAfter(DELAY_MS, clinic)
    for (const inFlight of IN_FLIGHT) {
      const asked = { inFlight, entries: sizes.delayed[inFlight] }
      measured.push(await besideDelay(`deliver ${kind}`, store, asked, floor, ours))
    }
    return measured
  } finally {
    await answerAfter(0, clinic)
    await ours.stop()
    await floor.stop()
  }
}

function mostOf({ entries }: Sizes): number {
  return Math.max(...Object.values(entries))
}

async function answerAfter(ms: number, { url }: Served): Promise<void> {
  await (await fetch(`${url}/answer-after/${ms}`)).text()
}

async function besideFloor(
  stage: string,
  store: string,
  asked: Run,
  floor: ToldProcess<Run, Ran>,
  ours: ToldProcess<Run, Ran>,
): Promise<Measured> {
  const floors: Ran[] = []
  const owns: Ran[] = []
  await floor.run(asked)
  await runAgain(store, asked, ours)
  for (let round = 0; round < ROUNDS; round += 1) {
    floors.push(await floor.run(asked))
    owns.push(await runAgain(store, asked, ours))
  }
  const floorSpeed = median(floors.map(perSecond))
  const own = median(owns.map(perSecond))
  return {
    stage: `${stage}, ${asked.inFlight} in flight`,
    unit: 'entries',
    floor: { what: 'bare client: the same bodies posted', perSecond: floorSpeed },
    ours: { what: 'claim, render, validate, post, settle durably', perSecond: own },
    goal: `at least ${GOAL} of the floor`,
    reached: own / floorSpeed >= GOAL,
    also: { ...figuresOf(owns), floorCpuMsPerEntry: median(floors.map(cpuMsPerEntry)) },
  }
}

/**
 * As many as are in flight in each delay, or what the bare client comes to, which has to read the clock as well. Where that
 * is far less, because the server has more to read than it can in that time, it is the same as with a server that answers
 * at once, and so is the goal.
 */
async function besideDelay(
  stage: string,
  store: string,
  asked: Run,
  floor: ToldProcess<Run, Ran>,
  ours: ToldProcess<Run, Ran>,
): Promise<Measured> {
  const bare = perSecond(await floor.run(asked))
  const owns: Ran[] = []
  for (let round = 0; round < ROUNDS; round += 1) owns.push(await runAgain(store, asked, ours))
  const own = median(owns.map(perSecond))
  const most = asked.inFlight / (DELAY_MS / 1000)
  const floorSpeed = Math.min(most, bare)
  const goal = bare >= GOAL_DELAYED * most ? GOAL_DELAYED : GOAL
  return {
    stage: `${stage}, ${asked.inFlight} in flight, ${DELAY_MS} ms`,
    unit: 'entries',
    floor: { what: `${asked.inFlight} in flight, ${DELAY_MS} ms each`, perSecond: floorSpeed },
    ours: { what: `the same, where the server takes ${DELAY_MS} ms`, perSecond: own },
    goal: `at least ${goal} of the floor`,
    reached: own / floorSpeed >= goal,
    also: { ...figuresOf(owns), barePerSecond: bare, inFlightByDelay: most },
  }
}

function runAgain(store: string, asked: Run, ours: ToldProcess<Run, Ran>): Promise<Ran> {
  queueAgain(store, asked.entries)
  return ours.run(asked)
}

function ownProcess(file: string, words: readonly string[]): ToldProcess<Run, Ran> {
  return tellProcess(['--import', 'tsx', join(import.meta.dirname, '../deliver', file), ...words])
}

function figuresOf(rans: readonly Ran[]): Readonly<Record<string, number>> {
  return {
    cpuMsPerEntry: median(rans.map(cpuMsPerEntry)),
    entriesPerSettlingSync: median(rans.map(({ entries, commits }) => entries / commits)),
    load1Min: loadavg()[0] ?? Number.NaN,
  }
}

function perSecond({ entries, seconds }: Ran): number {
  return entries / seconds
}

function cpuMsPerEntry({ entries, cpuMs }: Ran): number {
  return cpuMs / entries
}
