import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { text } from 'node:stream/consumers'

/**
 * Runs a piece of plain JavaScript in a process of its own, so that its memory is its own, and reads the JSON it
 * prints.
 *
 * @param module the text of an ES module; it finds `words` from `process.argv[1]` on.
 */
export async function measuredProcess<T>(module: string, words: readonly string[]): Promise<T> {
  const child = spawn(process.execPath, ['--input-type=module', '-e', module, ...words], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const [printed, [code]] = await Promise.all([text(child.stdout), once(child, 'exit')])
  if (code !== 0) throw new Error(`a measured process ended with ${code}`)
  return JSON.parse(printed)
}
