import { readFileSync } from 'node:fs'
import { Agent, request } from 'node:http'
import { answerRuns } from '../told-process.ts'
import type { Ran, Run } from './run.ts'

/**
 * The floor of delivering: bodies that are written already, posted over kept connections, each answer read to its end and
 * not looked at.
 *
 * Words: the file with one body a line, and the address they are posted to.
 */
const [, , file = '', baseUrl = ''] = process.argv
const bodies = linesOf(readFileSync(file))

await answerRuns<Run, Ran>(async ({ inFlight, entries }) => {
  const agent = new Agent({ keepAlive: true, maxSockets: inFlight, scheduling: 'lifo' })
  const cpu = process.cpuUsage()
  const start = performance.now()
  let next = 0
  const postInTurn = async (): Promise<void> => {
    for (;;) {
      const body = next < entries ? bodies[next++] : undefined
      if (body === undefined) return
      await post(body, agent)
    }
  }
  await Promise.all(Array.from({ length: inFlight }, postInTurn))
  const seconds = (performance.now() - start) / 1000
  const { user, system } = process.cpuUsage(cpu)
  agent.destroy()
  return { entries: Math.min(entries, bodies.length), seconds, cpuMs: (user + system) / 1000, commits: 0 }
})

function post(body: Buffer, agent: Agent): Promise<void> {
  return new Promise((resolve, reject) => {
    const headers = { 'content-type': 'application/fhir+json', 'content-length': body.length }
    const posted = request(baseUrl, { method: 'POST', agent, headers })
    posted.once('error', reject)
    posted.once('response', (answer) => {
      if (answer.statusCode !== 200) reject(new Error(`the server answered ${answer.statusCode}`))
      answer.resume()
      answer.once('end', resolve)
    })
    posted.end(body)
  })
}

function linesOf(bytes: Buffer): readonly Buffer[] {
  const lines: Buffer[] = []
  for (let from = 0; from < bytes.length; ) {
    const end = bytes.indexOf(0x0a, from)
    lines.push(bytes.subarray(from, end))
    from = end + 1
  }
  return lines
}
