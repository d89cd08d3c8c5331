import { type ChildProcess, spawn } from 'node:child_process'
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { pause } from '../support/hostile-clinic/clinic-context.ts'

/** The built command line: `npm test` builds before it tests. */
const COMMAND_LINE = fileURLToPath(new URL('../../dist/cli.js', import.meta.url))

/** A gateway in a process of its own, on a store that outlives it. */
export class GatewayProcess {
  /** What it logged as errors, by event. */
  readonly errors = new Map<string, number>()
  readonly #settingsFile: string
  readonly #commandLine: string
  #child: ChildProcess | undefined
  #url: string | undefined
  #ended: Promise<void> = Promise.resolve()
  #complaint = ''

  /** @param folder where its settings and its store lie. */
  constructor(folder: string, settings: object, commandLine: string = COMMAND_LINE) {
    this.#commandLine = commandLine
    this.#settingsFile = join(folder, 'gateway.json')
    writeFileSync(
      this.#settingsFile,
      JSON.stringify({ ...settings, listen: { port: 0 }, store: { file: join(folder, 'gateway.db') } }),
    )
  }

  /** Starts it, and resolves when it listens. @throws when it ends before. */
  async start(): Promise<void> {
    const child = spawn(
      process.execPath,
      [this.#commandLine, 'serve', '--json', '--settings', this.#settingsFile],
      { stdio: ['ignore', 'pipe', 'pipe'] },
    )
    this.#child = child
    this.#complaint = ''
    this.#ended = new Promise((resolve) => {
      child.once('close', () => {
        if (this.#child === child) {
          this.#child = undefined
          this.#url = undefined
        }
        resolve()
      })
    })
    const listening = new Promise<void>((resolve) => {
      createInterface({ input: child.stdout }).on('line', (line) => {
        const url = heardIn(line).listening
        if (typeof url !== 'string') return this.#note(line)
        this.#url = url
        resolve()
      })
    })
    createInterface({ input: child.stderr }).on('line', (line) => this.#note(line))
    await Promise.race([listening, this.#ended])
    if (this.#url === undefined) throw new Error(`the gateway ended: ${this.#complaint}`)
  }

  /** Kills it with SIGKILL: it has no time to finish anything. */
  async kill(): Promise<void> {
    this.#child?.kill('SIGKILL')
    await this.#ended
  }

  /** Where it listens; waits while it does not. @throws when it stays away. */
  async url(): Promise<string> {
    for (let waits = 0; waits < 1_000; waits += 1) {
      if (this.#url !== undefined) return this.#url
      await pause(20)
    }
    throw new Error(`the gateway does not come back: ${this.#complaint}`)
  }

  #note(line: string): void {
    const { level, msg, event } = heardIn(line)
    if (typeof level !== 'number' && typeof level !== 'string') this.#complaint += `${line}\n`
    else {
      const name = String(event ?? msg)
      this.errors.set(name, (this.errors.get(name) ?? 0) + 1)
    }
  }
}

function heardIn(line: string): Readonly<Record<string, unknown>> {
  try {
    const value: unknown = JSON.parse(line)
    return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : {}
  } catch {
    return {}
  }
}
