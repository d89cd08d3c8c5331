import { createWriteStream, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { type ClientRequest, request } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { benchSubject } from '../../../samples/generator/generate-sessions.ts'
import { openSqliteStore } from '../../../src/shell/store/open-sqlite-store.ts'
import { type BigInput, SENDERS } from './big-input.ts'
import { startCommand } from './own-process.ts'

export interface BigFigures {
  readonly input: string
  readonly door: Door
  readonly records: number
  /** The summary of the answer. */
  readonly counts: Readonly<Record<string, number>>
  /** From the first byte sent, or from the start of the command, to the summary. */
  readonly seconds: number
  /** Of the gateway's process alone. */
  readonly peakMb: number
}

/** By which way records come in: the running service, or the command line. */
export type Door = 'HTTP' | 'receive'
export const DOORS: readonly Door[] = ['HTTP', 'receive']

const SOURCE = 'harbour-app'

/** Sends a long input through the built gateway in a process of its own, into an empty store. */
export async function receiveBig(input: BigInput, records: number, door: Door): Promise<BigFigures> {
  const folder = mkdtempSync(join(tmpdir(), 'big-input-'))
  try {
    const settings = await prepared(folder)
    const received =
      door === 'HTTP' ? await overHttp(input, records, settings) : await fromFile(input, records, settings)
    return { input: input.name, door, records, ...received }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

interface Settings {
  readonly folder: string
  readonly file: string
}

type Received = Pick<BigFigures, 'counts' | 'seconds' | 'peakMb'>

/** A store in which everyone is enrolled, so that times by the clock have a zone. */
async function prepared(folder: string): Promise<Settings> {
  const store = join(folder, 'gateway.db')
  const none = new Set<string>()
  const opened = await openSqliteStore({
    file: store,
    readingsAtOnce: none,
    attentionAtOnce: none,
    inThread: true,
  })
  const audit = {
    at: '2026-01-01T00:00:00Z',
    actor: 'operator',
    about: '',
    outcome: 'done',
    detail: {},
  } as const
  await opened.saveSource(
    { name: SOURCE, title: 'Harbour home app' },
    { ...audit, action: 'source-registered' },
  )
  for (let number = 1; number <= SENDERS; number += 1) {
    const subject = benchSubject(number)
    const patient = { system: 'https://clinic.example/mrn', value: subject }
    const enrolment = { source: SOURCE, subject, patient, zone: 'Europe/London', destination: 'clinic' }
    await opened.saveEnrolment(enrolment, { ...audit, action: 'enrolment-saved' })
  }
  await opened.close()
  const file = join(folder, 'gateway.json')
  const limits = { requestSeconds: 86_400, linesPerStream: 10_000_000 }
  writeFileSync(
    file,
    JSON.stringify({ listen: { port: 0 }, store: { file: store }, limits, log: { level: 'error' } }),
  )
  return { folder, file }
}

async function overHttp(input: BigInput, records: number, { folder, file }: Settings): Promise<Received> {
  const gateway = startCommand(['serve', '--json', '--settings', file], join(folder, 'peak'))
  try {
    const url = await firstLine(gateway.child.stdout)
    const start = performance.now()
    const path = `/sessions?source=${SOURCE}${input.mapping === undefined ? '' : `&mapping=${input.mapping}`}`
    const post = request(`${JSON.parse(url).listening}${path}`, {
      method: 'POST',
      headers: { 'content-type': input.mediaType },
    })
    const answered = lastLineOfAnswer(post)
    await Promise.all([answered, pipeline(Readable.from(input.pieces(records)), post)])
    const seconds = (performance.now() - start) / 1000
    gateway.child.kill('SIGTERM')
    await gateway.ended
    return { counts: summaryIn(await answered), seconds, peakMb: gateway.peakMb() }
  } finally {
    gateway.child.kill('SIGKILL')
  }
}

async function fromFile(input: BigInput, records: number, { folder, file }: Settings): Promise<Received> {
  const sent = join(folder, `sent${input.ending}`)
  await pipeline(Readable.from(input.pieces(records)), createWriteStream(sent))
  const start = performance.now()
  const mapping = input.mapping === undefined ? [] : ['--mapping', input.mapping]
  const words = ['receive', '--json', '--settings', file, '--source', SOURCE, ...mapping, sent]
  const command = startCommand(words, join(folder, 'peak'))
  try {
    const last = await lastLine(command.child.stdout)
    await command.ended
    return { counts: summaryIn(last), seconds: (performance.now() - start) / 1000, peakMb: command.peakMb() }
  } finally {
    command.child.kill('SIGKILL')
  }
}

/** Reads every line of the answer as it comes, and keeps the last one. */
function lastLineOfAnswer(post: ClientRequest): Promise<string> {
  return new Promise((resolve, reject) => {
    post.once('error', reject)
    post.once('response', (response) => lastLine(response).then(resolve, reject))
  })
}

async function lastLine(readable: Readable | null): Promise<string> {
  let last = ''
  if (readable !== null) for await (const line of createInterface({ input: readable })) last = line
  return last
}

async function firstLine(readable: Readable | null): Promise<string> {
  if (readable === null) throw new Error('the gateway has no output')
  const lines = createInterface({ input: readable })
  return new Promise((resolve, reject) => {
    lines.once('line', resolve)
    lines.once('close', () => reject(new Error('the gateway ended before it listened')))
  })
}

function summaryIn(line: string): BigFigures['counts'] {
  const { summary } = JSON.parse(line)
  if (summary === undefined) throw new Error(`the answer broke off: ${line.slice(0, 500)}`)
  return summary
}
