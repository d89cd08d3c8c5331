import { type ChildProcess, spawn } from 'node:child_process'
import { createInterface } from 'node:readline'

/** A server in its own process, so that it does not share an event loop with the load. */
export interface Served {
  readonly url: string
  readonly process: ChildProcess
  stop(): Promise<void>
}

/** Starts a server that prints `{"listening": "<url>"}` as its first line. */
export async function serve(
  args: readonly string[],
  environment: Readonly<Record<string, string>> = {},
): Promise<Served> {
  const child = spawn(process.execPath, args, {
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, ...environment },
  })
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()))
  const lines = createInterface({ input: child.stdout })
  const url = await new Promise<string>((resolve, reject) => {
    lines.once('line', (line) => resolve(JSON.parse(line).listening))
    child.once('exit', (code) => reject(new Error(`the server ended with ${code} before it listened`)))
  })
  return {
    url,
    process: child,
    async stop() {
      child.kill('SIGTERM')
      await ended
    },
  }
}
