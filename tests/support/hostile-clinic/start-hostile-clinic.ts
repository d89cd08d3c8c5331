import { once } from 'node:events'
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import { pause } from './clinic-context.ts'
import { HostileClinic, type HostileClinicOptions, type Verdict } from './hostile-clinic.ts'

/** The played clinic behind a real socket, which can truly be destroyed. */
export interface StartedClinic {
  readonly clinic: HostileClinic
  /** Base URL without a trailing slash. */
  readonly baseUrl: string
  /** Ends every connection, waits for what is still being done, and stops. */
  close(): Promise<void>
}

/** Listens on loopback, on a port the system chooses. @throws the listening error. */
export async function startHostileClinic(options: HostileClinicOptions = {}): Promise<StartedClinic> {
  const clinic = new HostileClinic(options)
  let baseUrl = ''
  const server = createServer((request, response) => {
    answer(clinic, baseUrl, request, response).catch(() => response.destroy())
  })
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const address = server.address()
  const port = typeof address === 'object' && address !== null ? address.port : 0
  baseUrl = `http://127.0.0.1:${port}/fhir`
  return {
    clinic,
    baseUrl,
    async close() {
      await clinic.quiet()
      const closed = once(server, 'close')
      server.close()
      server.closeAllConnections()
      await closed
    },
  }
}

async function answer(
  clinic: HostileClinic,
  base: string,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const url = new URL(request.url ?? '/', base)
  const root = new URL(base).pathname
  if (url.pathname !== root && !url.pathname.startsWith(`${root}/`)) {
    response.writeHead(404).end()
    return
  }
  const chunks: Buffer[] = []
  for await (const chunk of request) chunks.push(chunk)
  const headers = new Headers()
  for (const [name, value] of Object.entries(request.headers)) headers.set(name, String(value))
  const verdict = await clinic.handle(
    {
      method: request.method ?? 'GET',
      path: decodeURIComponent(url.pathname.slice(root.length + 1)),
      query: url.searchParams,
      headers,
      body: Buffer.concat(chunks).toString('utf8'),
    },
    base,
  )
  await send(verdict, request, response)
}

async function send(verdict: Verdict, request: IncomingMessage, response: ServerResponse): Promise<void> {
  const { how, reply, trickles } = verdict
  if (how === 'reset') {
    request.socket.resetAndDestroy()
    return
  }
  if (how === 'close' || reply === undefined) {
    request.socket.destroy()
    return
  }
  const octets = Buffer.from(reply.body, 'utf8')
  if (how === 'cut-off') {
    // An answer without a body has no middle to be cut off in: it promises one, and ends before it.
    const promised = Math.max(octets.length, 2)
    response.writeHead(reply.status, { ...reply.headers, 'content-length': promised })
    response.write(octets.subarray(0, promised / 2), () => request.socket.destroy())
    return
  }
  response.writeHead(reply.status, { ...reply.headers, 'content-length': octets.length })
  if (trickles !== undefined) await trickle(octets, trickles, response)
  response.end(trickles === undefined ? octets : undefined)
}

async function trickle(
  octets: Buffer,
  { octets: size, everyMs }: NonNullable<Verdict['trickles']>,
  response: ServerResponse,
): Promise<void> {
  for (let at = 0; at < octets.length && !response.destroyed; at += size) {
    response.write(octets.subarray(at, at + size))
    await pause(everyMs)
  }
}
