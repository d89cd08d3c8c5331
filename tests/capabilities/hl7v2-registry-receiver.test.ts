import { once } from 'node:events'
import { readFileSync } from 'node:fs'
import { createServer } from 'node:net'
import type { Bundle } from 'fhir/r4.js'
import { type InboundRequest, type SendResponse, Server } from 'node-hl7-server'
import { afterEach, describe, expect, it } from 'vitest'
import { oruMessage } from '../../src/core/hl7v2/oru-message.ts'
import { createMessageReceivers } from '../../src/shell/hl7v2/message-receivers.ts'
import { emittedResources } from '../support/emitted-resources.ts'
import { messageDestination } from '../support/message-destination.ts'
import { recordedLog } from '../support/recorded-log.ts'

/**
 * The listener of node-hl7-server 2.5.0 receives what the samples come to. It keeps what it read of a connection and
 * puts the next message behind it, so each message has a connection of its own.
 */

const opened: (() => unknown)[] = []
afterEach(async () => {
  for (const close of opened.splice(0)) await close()
})

const BUNDLES: readonly (readonly [string, Bundle])[] = [
  ['the average of a week with its readings', read('average-of-a-week')],
  ...emittedResources().flatMap(([name, resource]): [string, Bundle][] =>
    resource.resourceType === 'Bundle' ? [[name, resource]] : [],
  ),
]

describe('a receiver of the registry', () => {
  it.each(BUNDLES)('takes %s and acknowledges it', async (_name, bundle) => {
    const received: string[] = []
    const send = await listen(async (request, response) => {
      received.push(request.getMessage().toString())
      await response.sendResponse('AA')
    })
    const message = oruMessage(bundle, context())
    expect(await send(message)).toEqual({ kind: 'accepted' })
    // The library gives a message back without the CR that ends it.
    expect(received).toEqual([message.replace(/\r$/, '')])
  })

  it.each([
    ['AE', { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    ['AR', { kind: 'stop', problem: 'RECEIVER_REJECTS' }],
  ] as const)('is understood when it answers %s', async (code, answer) => {
    const send = await listen((_request, response) => response.sendResponse(code))
    expect(await send(oruMessage(read('average-of-a-week'), context()))).toMatchObject(answer)
  })
})

function context() {
  return {
    destination: messageDestination({ settledBy: 'application' }),
    patient: { system: 'https://clinic.example/mrn', value: '4711' },
    controlId: '7f3c0001',
    messageTime: '2026-03-09T08:00:00Z',
  }
}

async function listen(handler: (request: InboundRequest, response: SendResponse) => Promise<void>) {
  const port = await freePort()
  const inbound = new Server({ bindAddress: '127.0.0.1' }).createInbound({ port }, handler)
  await once(inbound, 'listen')
  const receivers = createMessageReceivers({
    clock: { now: () => Date.now() },
    log: recordedLog(),
    idleMs: 0,
  })
  opened.push(
    () => receivers.close(),
    () => inbound.close(),
  )
  const destination = messageDestination({ port, settledBy: 'application' })
  return (message: string) => receivers.send(destination, message)
}

/** The library takes no port that the system chooses. */
async function freePort(): Promise<number> {
  const server = createServer()
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const address = server.address()
  await new Promise((resolve) => server.close(resolve))
  return typeof address === 'object' && address !== null ? address.port : 0
}

function read(name: string): Bundle {
  return JSON.parse(readFileSync(new URL(`../../samples/bundles/${name}.json`, import.meta.url), 'utf8'))
}
