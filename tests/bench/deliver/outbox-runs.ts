import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { Worker } from 'node:worker_threads'
import type { Bundle } from 'fhir/r4.js'
import type { Ports } from '../../../src/flow/ports/ports.ts'
import type { DeliveryWrite } from '../../../src/shell/store/outbox/delivery-writes.ts'
import type { Requests } from '../../../src/shell/store/worker/messages.ts'
import { answerRuns } from '../told-process.ts'
import type { Ran, Run } from './run.ts'

/**
 * The built gateway's own parts, delivering what is due in its store: claim, render, validate, post, settle.
 *
 * Words: the folder it was built to, and its settings file.
 */
const [, , dist = '', settings = ''] = process.argv
const built = (path: string) => pathToFileURL(join(dist, path)).href
const { openGateway }: typeof import('../../../src/gateway.ts') = await import(built('gateway.js'))
const { readSettings }: typeof import('../../../src/shell/config/reading/read-settings.ts') = await import(
  built('shell/config/reading/read-settings.js')
)
const { deliverOutbox }: typeof import('../../../src/flow/deliver/deliver-outbox.ts') = await import(
  built('flow/deliver/deliver-outbox.js')
)

/** Commits in which something is settled, counted where they leave for the thread that makes them. */
let commits = 0
const { postMessage } = Worker.prototype
Worker.prototype.postMessage = function (message: unknown, ...rest: []) {
  for (const { name, values } of message as Requests) {
    const [writes] = values as readonly (readonly DeliveryWrite[])[]
    if (name === 'writeDeliveries' && writes?.some(({ call }) => call === 'settle')) commits += 1
  }
  postMessage.call(this, message, ...rest)
}

const { ports, stop } = await openGateway(readSettings(settings, {}))

await answerRuns<Run, Ran>(async ({ inFlight, entries, record }) => {
  const bodies: string[] = []
  const policy = { ...ports.policy, delivery: { ...ports.policy.delivery, inFlight } }
  const at = { ...ports, policy }
  commits = 0
  const cpu = process.cpuUsage()
  const start = performance.now()
  const { settled } = await deliverOutbox(record === undefined ? at : { ...at, clinic: recorder(bodies) })
  const seconds = (performance.now() - start) / 1000
  const { user, system } = process.cpuUsage(cpu)
  if (settled !== entries) throw new Error(`${settled} of ${entries} entries were settled`)
  if (record !== undefined) writeFileSync(record, `${bodies.join('\n')}\n`)
  return { entries: settled, seconds, cpuMs: (user + system) / 1000, commits }
})
await stop()

/** Answers like the server, but for keeping what it was sent. */
function recorder(bodies: string[]): Ports['clinic'] {
  const monitors = new Set<string>()
  return {
    resting: () => [],
    ask(destination, request) {
      const { path, body = '' } = request
      const isBundle = path === '' && body !== ''
      const { entry = [] }: Partial<Bundle> = isBundle ? JSON.parse(body) : {}
      if (!isBundle || !entry.every(({ resource }) => resource !== undefined)) {
        return ports.clinic.ask(destination, request)
      }
      // The proof of the server's conditions is no delivery.
      if (entry.length > 1) bodies.push(body)
      const responses = entry.map(({ resource, fullUrl = '' }) => {
        const isThere = monitors.has(fullUrl)
        if (resource?.resourceType === 'Device') monitors.add(fullUrl)
        return { status: isThere ? 200 : 201 }
      })
      return Promise.resolve({
        kind: 'heard',
        status: 200,
        body: { kind: 'responses', responses },
        said: { status: 200 },
      })
    },
  }
}
