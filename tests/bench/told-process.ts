import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'

/** A process of its own that is asked for one run after the other, so that it is warm after the first. */
export interface ToldProcess<Asked, Answer> {
  run(asked: Asked): Promise<Answer>
  stop(): Promise<void>
}

/** Starts a process that answers runs by `answerRuns`. */
export function tellProcess<Asked, Answer>(args: readonly string[]): ToldProcess<Asked, Answer> {
  const child = spawn(process.execPath, args, { stdio: ['pipe', 'pipe', 'inherit'] })
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]()
  return {
    async run(asked) {
      child.stdin.write(`${JSON.stringify(asked)}\n`)
      const { value, done } = await lines.next()
      if (done === true) throw new Error('a process ended in the middle of a run')
      return JSON.parse(value)
    },
    async stop() {
      const ended = once(child, 'exit')
      child.stdin.end()
      await ended
    },
  }
}

/** The other side: does each run that is asked for on standard input, until that ends. */
export async function answerRuns<Asked, Answer>(run: (asked: Asked) => Promise<Answer>): Promise<void> {
  for await (const line of createInterface({ input: process.stdin })) {
    process.stdout.write(`${JSON.stringify(await run(JSON.parse(line)))}\n`)
  }
}
