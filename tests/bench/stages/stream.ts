import { execFileSync } from 'node:child_process'
import { hash } from 'node:crypto'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { request } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { generateSessions } from '../../../samples/generator/generate-sessions.ts'
import { sessionUuid } from '../../../src/core/fhir/identifiers.ts'
import { openSqliteStore } from '../../../src/shell/store/open-sqlite-store.ts'
import { appendOnly } from '../floors/append-only.ts'
import { type Measured, median } from '../measure.ts'
import { type Served, serve } from '../served-process.ts'

const HELD = 1_000_000
const STREAMED = 100_000
const ROUNDS = 3
const SUBJECTS = 100_000
const GOAL = 0.2
const GOAL_GROWTH_MB = 150

/**
 * After one stream to warm up: an NDJSON stream of 100,000 sessions with random ids, each durable before its line of the
 * answer, into a store that holds 1,000,000 already; against split, parse and append to a table without any index.
 */
export async function measureStream(): Promise<Measured> {
  const folder = mkdtempSync(join(tmpdir(), 'bench-stream-'))
  try {
    const store = join(folder, 'gateway.db')
    process.stderr.write(`  filling a store with ${HELD} sessions …\n`)
    await fill(store)
    const settings = join(folder, 'gateway.json')
    writeFileSync(
      settings,
      JSON.stringify({
        listen: { port: 0 },
        store: { file: store },
        sources: [{ name: 'bench-app', title: 'Bench app' }],
        log: { level: 'error' },
      }),
    )
    const gateway = await serve(['dist/cli.js', 'serve', '--json', '--settings', settings])
    try {
      const atStart = residentMb(gateway)
      await stream(gateway, ndjson(99, STREAMED), STREAMED)
      const before = residentMb(gateway)
      const floors: number[] = []
      const ours: number[] = []
      let peak = before
      for (let round = 0; round < ROUNDS; round += 1) {
        const text = ndjson(100 + round, STREAMED)
        floors.push(appendOnly(join(folder, 'floor.db'), text))
        const watch = setInterval(() => {
          peak = Math.max(peak, residentMb(gateway))
        }, 200)
        ours.push(await stream(gateway, text, STREAMED))
        clearInterval(watch)
      }
      const floor = median(floors)
      const own = median(ours)
      const growth = peak - before
      return {
        stage: 'stream',
        unit: 'sessions',
        floor: { what: 'split, parse, append without an index', perSecond: floor },
        ours: { what: `NDJSON over HTTP into ${HELD.toLocaleString('en-US')} sessions`, perSecond: own },
        goal: `at least ${GOAL} of the floor, memory growth below ${GOAL_GROWTH_MB} MB`,
        reached: own / floor >= GOAL && growth < GOAL_GROWTH_MB,
        also: {
          residentAtStartMb: atStart,
          residentWarmMb: before,
          growthMb: growth,
          sessionsPerRound: STREAMED,
          rounds: ROUNDS,
        },
      }
    } finally {
      await gateway.stop()
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

async function fill(file: string): Promise<void> {
  const store = await openSqliteStore({
    file,
    readingsAtOnce: new Set(),
    attentionAtOnce: new Set(),
    inThread: true,
  })
  let batch = []
  for (const session of generateSessions({ seed: 1, count: HELD, subjects: SUBJECTS })) {
    const raw = JSON.stringify(session)
    batch.push({
      uuid: sessionUuid('bench-app', session.id),
      source: 'bench-app',
      id: session.id,
      subject: session.subject,
      takenMs: Date.parse(session.takenAt),
      raw,
      sha256: hash('sha256', raw, 'hex'),
      receivedAt: '2026-11-24T12:00:00Z',
    })
    if (batch.length === 5_000) {
      await store.accept(batch)
      batch = []
    }
  }
  if (batch.length > 0) await store.accept(batch)
  await store.close()
}

function ndjson(seed: number, count: number): string {
  let text = ''
  for (const session of generateSessions({ seed, count, subjects: SUBJECTS }))
    text += `${JSON.stringify(session)}\n`
  return text
}

/** Streams the text and reads every line of the answer; all must be kept. Returns sessions per second. */
async function stream({ url }: Served, text: string, sessions: number): Promise<number> {
  const start = performance.now()
  const post = request(`${url}/sessions?source=bench-app`, {
    method: 'POST',
    headers: { 'content-type': 'application/x-ndjson' },
  })
  const answered = new Promise<number>((resolve, reject) => {
    post.once('error', reject)
    post.once('response', (response) => {
      let kept = 0
      const lines = createInterface({ input: response })
      lines.on('line', (line) => {
        if (line.includes('"kept"')) kept += 1
      })
      lines.once('close', () => resolve(kept))
    })
  })
  await pipeline(Readable.from(chunks(text)), post)
  const kept = await answered
  if (kept < sessions) throw new Error(`${kept} of ${sessions} sessions were kept`)
  return sessions / ((performance.now() - start) / 1000)
}

function* chunks(text: string): Generator<Buffer> {
  const bytes = Buffer.from(text)
  for (let at = 0; at < bytes.length; at += 65_536) yield bytes.subarray(at, at + 65_536)
}

function residentMb({ process: child }: Served): number {
  const kilobytes = execFileSync('ps', ['-o', 'rss=', '-p', String(child.pid)], { encoding: 'utf8' })
  return Number(kilobytes.trim()) / 1024
}
