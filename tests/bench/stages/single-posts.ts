import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import autocannon from 'autocannon'
import { generateSessions } from '../../../samples/generator/generate-sessions.ts'
import { type Measured, median } from '../measure.ts'
import { type Served, serve } from '../served-process.ts'

const CONNECTIONS = 32
const SECONDS = 4
const ROUNDS = 3
/** More than any server here answers; sessions beyond it would run out, and say so. */
const MOST_A_SECOND = 25_000
const GOAL = 0.5
const GOAL_PER_SYNC = 16

/**
 * Single sessions posted over 32 keep-alive connections, each durable before its answer, against a bare Express route
 * that parses and answers the same body. Each server runs in its own process; the load shares the machine with both.
 */
export async function measureSinglePosts(): Promise<Measured> {
  const folder = mkdtempSync(join(tmpdir(), 'bench-posts-'))
  writeFileSync(
    join(folder, 'gateway.json'),
    JSON.stringify({
      listen: { port: 0 },
      store: { file: join(folder, 'gateway.db') },
      sources: [{ name: 'bench-app', title: 'Bench app' }],
      log: { level: 'error' },
    }),
  )
  const bare = await serve(['--import', 'tsx', join(import.meta.dirname, '../floors/bare-express.ts')])
  const gateway = await serve(['dist/cli.js', 'serve', '--json', '--settings', join(folder, 'gateway.json')])
  try {
    const floors: number[] = []
    const ours: number[] = []
    await post(bare, 1, 1)
    await post(gateway, 2, 1)
    const before = await syncs(gateway)
    for (let round = 0; round < ROUNDS; round += 1) {
      floors.push(await post(bare, 3 + round, SECONDS))
      ours.push(await post(gateway, 13 + round, SECONDS))
    }
    const after = await syncs(gateway)
    const perSync = (after.acknowledged - before.acknowledged) / (after.commits - before.commits)
    const floor = median(floors)
    const own = median(ours)
    return {
      stage: 'single-posts',
      unit: 'posts',
      floor: { what: 'bare Express route: parse and answer the body', perSecond: floor },
      ours: { what: 'read, check, convert, validate, durable commit, receipt', perSecond: own },
      goal: `at least ${GOAL} of the floor, ${GOAL_PER_SYNC} acknowledgements a sync`,
      reached: own / floor >= GOAL && perSync >= GOAL_PER_SYNC,
      also: { acknowledgementsPerSync: perSync, connections: CONNECTIONS },
    }
  } finally {
    await bare.stop()
    await gateway.stop()
    rmSync(folder, { recursive: true, force: true })
  }
}

/**
 * Posts unique sessions for some seconds; every answer must be a success. Bodies are written beforehand, so that the
 * load takes as little of the machine as it can. Returns posts per second.
 */
async function post({ url }: Served, seed: number, seconds: number): Promise<number> {
  const bodies = Array.from(
    generateSessions({ seed, count: seconds * MOST_A_SECOND, subjects: 5_000 }),
    (session) => JSON.stringify(session),
  )
  const result = await autocannon({
    url: `${url}/sessions?source=bench-app`,
    connections: CONNECTIONS,
    duration: seconds,
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    requests: [
      {
        setupRequest(request) {
          const body = bodies.pop()
          if (body === undefined) throw new Error('the generated sessions ran out')
          return { ...request, body }
        },
      },
    ],
  })
  if (result.non2xx > 0 || result.errors > 0)
    throw new Error(`${result.non2xx} refusals, ${result.errors} errors`)
  return result['2xx'] / result.duration
}

/** Durable commits and acknowledged records, as the gateway's own metrics count them. */
async function syncs({ url }: Served): Promise<{ readonly commits: number; readonly acknowledged: number }> {
  const text = await (await fetch(`${url}/metrics`)).text()
  const figure = (name: string) => {
    const found = new RegExp(`^${name}(?:\\{[^}]*\\})? (\\d+)`, 'm').exec(text)
    if (found === null) throw new Error(`no ${name} among the metrics`)
    return Number(found[1])
  }
  return {
    commits: figure('home_bp_commits_total'),
    acknowledged: figure('home_bp_sessions_acknowledged_total'),
  }
}
