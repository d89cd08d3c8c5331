import { type ChildProcess, spawn } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

/** The built command line: `npm test` and `npm run fuzz` build first. */
const COMMAND_LINE = fileURLToPath(new URL('../../../dist/cli.js', import.meta.url))

/**
 * Loaded before the command line: writes the most resident memory the process had, in MB, when it ends. Linux hands the
 * mark of a parent on to what it starts, so there the process' own is read.
 */
const TELLS_PEAK = `
import { readFileSync, writeFileSync } from 'node:fs'
import { isMainThread } from 'node:worker_threads'
if (isMainThread) process.once('exit', () => {
  const own = process.platform === 'linux' && /VmHWM:\\s+(\\d+) kB/.exec(readFileSync('/proc/self/status', 'utf8'))
  const kilobytes = own ? Number(own[1]) : process.resourceUsage().maxRSS
  writeFileSync(process.env.TOLD_PEAK_FILE, String(kilobytes / 1024))
})
`

/**
 * Without a limit V8 lets garbage lie until a heap that it derives from the memory of the machine is full, and how much a
 * process holds does not show. With this one it collects in time, and a process that held more would end.
 */
const MOST_HEAP_MB = 128

/** The built command line in a process of its own, whose memory is its own. */
export interface OwnProcess {
  readonly child: ChildProcess
  /** Resolves with the exit code. */
  readonly ended: Promise<number | null>
  /** The most resident memory it had, in MB. Only once it has ended. */
  peakMb(): number
}

/** @param peakFile where it is to leave its figure. */
export function startCommand(words: readonly string[], peakFile: string): OwnProcess {
  const preload = `data:text/javascript,${encodeURIComponent(TELLS_PEAK)}`
  const flags = [`--max-old-space-size=${MOST_HEAP_MB}`, '--import', preload]
  const child = spawn(process.execPath, [...flags, COMMAND_LINE, ...words], {
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, TOLD_PEAK_FILE: peakFile },
  })
  const ended = new Promise<number | null>((resolve, reject) => {
    child.once('error', reject)
    child.once('close', resolve)
  })
  return { child, ended, peakMb: () => Number(readFileSync(peakFile, 'utf8')) }
}
