import { type DefaultBodyType, HttpResponse, http, type StrictRequest } from 'msw'
import { pause } from './clinic-context.ts'
import type { HostileClinic, Verdict } from './hostile-clinic.ts'

/**
 * The played clinic as handlers of a mock network, for tests of a client in the same process. A connection that is closed,
 * reset or cut off is a network error to the client.
 *
 * @param base base URL without a trailing slash.
 */
export function hostileClinicHandlers(clinic: HostileClinic, base: string) {
  const answer = ({ request }: { readonly request: StrictRequest<DefaultBodyType> }) =>
    answered(request, clinic, base)
  return [http.all(base, answer), http.all(`${base}/*`, answer)]
}

async function answered(request: Request, clinic: HostileClinic, base: string): Promise<Response> {
  const url = new URL(request.url)
  const verdict = await clinic.handle(
    {
      method: request.method,
      path: decodeURIComponent(url.pathname.slice(new URL(base).pathname.length + 1)),
      query: url.searchParams,
      headers: request.headers,
      body: await request.text(),
    },
    base,
  )
  const { how, reply } = verdict
  if (how !== 'send' || reply === undefined) return HttpResponse.error()
  const body = verdict.trickles === undefined ? reply.body : trickling(reply.body, verdict.trickles)
  // A body, even an empty one, is not allowed with these.
  const isBodiless = reply.status === 204 || reply.status === 304 || reply.body === ''
  return new HttpResponse(isBodiless ? null : body, { status: reply.status, headers: reply.headers })
}

function trickling(
  body: string,
  { octets, everyMs }: NonNullable<Verdict['trickles']>,
): ReadableStream<Uint8Array> {
  const bytes = new TextEncoder().encode(body)
  let at = 0
  return new ReadableStream({
    async pull(controller) {
      if (at > 0) await pause(everyMs)
      controller.enqueue(bytes.slice(at, at + octets))
      at += octets
      if (at >= bytes.length) controller.close()
    },
  })
}
