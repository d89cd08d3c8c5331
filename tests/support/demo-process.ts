import { type ChildProcess, spawn } from 'node:child_process'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import type { DemoStep } from '../../src/shell/cli/demo/run-demo.ts'

/** The built command line: `npm test` builds before it tests. */
const COMMAND_LINE = fileURLToPath(new URL('../../dist/cli.js', import.meta.url))

/** A demo running in its own process, and every step it told before it ended. */
export interface DemoProcess {
  readonly child: ChildProcess
  readonly steps: readonly DemoStep[]
  /** Exit code, or null when it was killed. */
  readonly ended: Promise<number | null>
}

export function startDemo(folder: string, clinic: string): DemoProcess {
  const child = spawn(
    process.execPath,
    [COMMAND_LINE, 'demo', '--json', '--data', folder, '--clinic', clinic],
    {
      stdio: ['ignore', 'pipe', 'pipe'],
    },
  )
  const steps: DemoStep[] = []
  let complaint = ''
  createInterface({ input: child.stdout }).on('line', (line) => {
    // A line cut short by the kill was never told.
    if (line.endsWith('}')) steps.push(JSON.parse(line))
  })
  child.stderr.on('data', (chunk) => {
    complaint += chunk
  })
  const ended = new Promise<number | null>((resolve, reject) => {
    child.once('error', reject)
    child.once('close', (code) => {
      if (code !== null && code !== 0) reject(new Error(`the demo ended with ${code}: ${complaint}`))
      else resolve(code)
    })
  })
  return { child, steps, ended }
}

/** UUIDs of the sessions whose receipts arrived. */
export function acknowledged(steps: readonly DemoStep[]): readonly string[] {
  return steps.flatMap((step) => (step.step === 'submitted' ? step.sessions : []))
}
