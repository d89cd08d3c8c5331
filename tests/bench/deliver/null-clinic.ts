import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { text } from 'node:stream/consumers'
import type { Bundle, CapabilityStatement, OperationOutcome } from 'fhir/r4.js'

/**
 * A clinic's FHIR server that keeps nothing but which monitors it knows, and shows nothing: it parses what it is sent, and
 * says of each resource of it that it was made, but of a monitor it knows that it was there. Once `/answer-after/20` was asked for, it
 * answers 20 ms later. Prints its address.
 */
const STATEMENT: CapabilityStatement = {
  resourceType: 'CapabilityStatement',
  status: 'active',
  date: '2026-01-05',
  kind: 'instance',
  fhirVersion: '4.0.1',
  format: ['json'],
  rest: [
    {
      mode: 'server',
      interaction: [{ code: 'transaction' }],
      resource: (['Device', 'Observation', 'Patient', 'Provenance'] as const).map((type) => ({
        type,
        interaction: [{ code: 'create' }, { code: 'read' }, { code: 'search-type' }],
        conditionalCreate: true,
        searchParam: [{ name: 'identifier', type: 'token' }],
      })),
    },
  ],
}

const NOT_FOUND = outcome('not-found')
const NOT_SHOWN = outcome('not-supported')

function outcome(code: OperationOutcome['issue'][number]['code']): OperationOutcome {
  return { resourceType: 'OperationOutcome', issue: [{ severity: 'error', code }] }
}

/** Conditions of the creates of monitors. */
const monitors = new Set<string>()

let made = 0
let delayMs = 0

const server = createServer(async (request, response) => {
  const [, delay] = /^\/answer-after\/(\d+)$/.exec(request.url ?? '') ?? []
  if (delay !== undefined) delayMs = Number(delay)
  const [status, answer] = answerTo(request, await text(request))
  if (delayMs === 0) send(response, status, answer)
  else setTimeout(() => send(response, status, answer), delayMs)
})

function answerTo({ method, url = '' }: IncomingMessage, body: string): readonly [number, object] {
  if (method === 'GET' && url.endsWith('/metadata')) return [200, STATEMENT]
  if (method === 'GET' || url.endsWith('/_search')) return [501, NOT_SHOWN]
  const { entry = [] }: Bundle = JSON.parse(body)
  // A transaction that asks for what is not there fails as a whole.
  if (entry.some(({ request }) => request?.method === 'GET')) return [404, NOT_FOUND]
  const answered = entry.map(({ resource, request }) => {
    const monitor = resource?.resourceType === 'Device' ? request?.ifNoneExist : undefined
    if (monitor !== undefined && monitors.has(monitor)) return { response: { status: '200 OK' } }
    if (monitor !== undefined) monitors.add(monitor)
    made += 1
    return { response: { status: '201 Created', location: `${resource?.resourceType}/${made}/_history/1` } }
  })
  return [200, { resourceType: 'Bundle', type: 'transaction-response', entry: answered }]
}

function send(response: ServerResponse, status: number, answer: object): void {
  response.writeHead(status, { 'content-type': 'application/fhir+json' })
  response.end(JSON.stringify(answer))
}

server.listen(0, '127.0.0.1', () => {
  const { port } = server.address() as AddressInfo
  process.stdout.write(`${JSON.stringify({ listening: `http://127.0.0.1:${port}` })}\n`)
})
