import { connect } from 'node:net'
import { setTimeout } from 'node:timers/promises'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { StoreFailed } from '../../src/core/basics/gateway-error.ts'
import { ask, postJson } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { rawRecord } from '../support/raw-record.ts'

const ANSWERS = 8

interface ApiDescription {
  readonly openapi: string
  readonly paths: Readonly<Record<string, Readonly<Record<string, unknown>>>>
  readonly components: { readonly schemas: Readonly<Record<string, object>> }
}

describe('what the service tells of itself', () => {
  let door: OpenDoor
  let api: ApiDescription
  beforeAll(async () => {
    door = await openDoor()
    api = (await ask(door.url, '/openapi.json')).json as ApiDescription
  })
  afterAll(() => door.close())

  it('is live and ready', async () => {
    expect((await ask(door.url, '/health/live')).json).toEqual({ status: 'live' })
    expect((await ask(door.url, '/health/ready')).json).toEqual({ status: 'ready' })
  })

  it('describes routes that exist, with all their methods and no other', async () => {
    expect(api.openapi).toBe('3.1.0')
    for (const [path, methods] of Object.entries(api.paths)) {
      const { status, headers } = await ask(door.url, path.replaceAll(/\{\w+\}/g, 'x'), { method: 'OPTIONS' })
      const allowed = String(headers.allow)
        .split(', ')
        .filter((method) => method !== 'HEAD' && method !== 'OPTIONS')
      expect([path, status]).toEqual([path, 204])
      expect([path, ...allowed.sort()]).toEqual([
        path,
        ...Object.keys(methods)
          .map((method) => method.toUpperCase())
          .sort(),
      ])
    }
  })

  it('tells the methods of a path alike, whatever question stands behind it', async () => {
    const [plain, asked] = [
      await ask(door.url, '/periods', { method: 'OPTIONS' }),
      await ask(door.url, '/periods?limit=2', { method: 'OPTIONS' }),
    ]
    for (const { status, headers, text } of [plain, asked]) {
      expect([status, headers.allow, text]).toEqual([204, 'HEAD, GET, POST, OPTIONS', ''])
    }
  })

  it('describes schemas that compile and lead nowhere outside', () => {
    const ajv = new Ajv2020({ strict: false, validateFormats: false })
    ajv.addSchema({ $id: 'api', components: api.components })
    for (const name of Object.keys(api.components.schemas)) {
      expect(() => ajv.compile({ $ref: `api#/components/schemas/${name}` })).not.toThrow()
    }
  })

  it('describes its answers as they are', async () => {
    const ajv = new Ajv2020({ strict: false, validateFormats: false })
    ajv.addSchema({ $id: 'api', components: api.components })
    const fits = (name: string, value: unknown) =>
      ajv.compile({ $ref: `api#/components/schemas/${name}` })(value)
    const path = '/sessions?source=harbour-app'
    const record = rawRecord({ id: 'described' })
    expect(fits('SessionRecord', record)).toBe(true)
    expect(fits('Receipt', (await postJson(door.url, path, record)).json)).toBe(true)
    expect(fits('Results', (await postJson(door.url, path, [record, 7])).json)).toBe(true)
    expect(fits('Problem', (await postJson(door.url, path, 7)).json)).toBe(true)
    expect(fits('KeptSession', (await ask(door.url, '/sessions/described?source=harbour-app')).json)).toBe(
      true,
    )
    expect(fits('Page', (await ask(door.url, '/audit')).json)).toBe(true)
    expect(fits('Receipt', {})).toBe(false)
  })

  it('explains each problem under the path its type ends with', async () => {
    const { json } = await postJson(door.url, '/sessions?source=harbour-app', '{')
    const { type } = json as { type: string }
    const explained = await ask(door.url, new URL(type).pathname.replace('/fhir', ''))
    expect(explained.json).toMatchObject({ code: 'NOT_JSON', meaning: 'The text is not JSON.' })
    expect((await ask(door.url, '/problems/toString')).status).toBe(404)
  })

  it('counts what it received by outcome and code, and labels nobody', async () => {
    await postJson(door.url, '/sessions?source=harbour-app', rawRecord({ id: 'counted' }))
    await postJson(door.url, '/sessions?source=harbour-app', rawRecord({ id: 'counted' }))
    await postJson(door.url, '/sessions?source=harbour-app', rawRecord({ arm: 'third' }))
    const { text, headers } = await ask(door.url, '/metrics')
    expect(headers['content-type']).toBe('text/plain; version=0.0.4; charset=utf-8')
    expect(text).toMatch(/^home_bp_sessions_received_total\{outcome="kept"\} \d+$/m)
    expect(text).toMatch(/^home_bp_refusal_issues_total\{code="NOT_A_CHOICE"\} 1$/m)
    expect(text).toMatch(/^home_bp_outbox_entries\{state="waiting"\} [1-9]\d*$/m)
    expect(text).toMatch(/^home_bp_deliveries_total 0$/m)
    expect(text).not.toMatch(/HW-1042|counted/)
  })

  it('counts requests by the pattern of their route and status, and paths that lead nowhere as one', async () => {
    await ask(door.url, '/sessions/HW-1042?source=harbour-app')
    for (const path of ['/nowhere', '/nowhere/HW-1042']) await ask(door.url, path)
    await ask(door.url, '/audit', { method: 'DELETE' })
    const { text } = await ask(door.url, '/metrics')
    const counted = (route: string, status: number, method = 'GET') =>
      new RegExp(
        `^home_bp_http_requests_total\\{method="${method}",route="${route}",status="${status}"\\} \\d+$`,
        'm',
      )
    expect(text).toMatch(counted('/sessions/:id', 404))
    expect(text).toMatch(counted('none', 404))
    expect(text).toMatch(counted('/audit', 405, 'DELETE'))
    expect(text).toMatch(
      /^home_bp_http_request_duration_seconds_count\{method="GET",route="none"\} [2-9]\d*$/m,
    )
    expect(text).toMatch(/^home_bp_build_info\{version="\d+\.\d+\.\d+",node="\d+\.\d+\.\d+"\} 1$/m)
    expect(text).not.toMatch(/HW-1042|nowhere/)
  })

  it('speaks OpenMetrics when asked', async () => {
    const { text, headers } = await ask(door.url, '/metrics', {
      headers: { Accept: 'application/openmetrics-text; version=1.0.0' },
    })
    expect(headers['content-type']).toBe('application/openmetrics-text; version=1.0.0; charset=utf-8')
    expect(text).toMatch(/^# TYPE home_bp_sessions_received counter$/m)
    expect(text.endsWith('# EOF\n')).toBe(true)
  })

  it.each(['/health/live', '/sessions', '/fhir/metadata', '/nowhere'])(
    'guards %s with the headers of an API',
    async (path) => {
      const { headers } = await ask(door.url, path)
      expect(headers).toMatchObject({
        'cache-control': 'no-store',
        'content-security-policy': "default-src 'none';frame-ancestors 'none'",
        'x-content-type-options': 'nosniff',
        'x-frame-options': 'DENY',
        'referrer-policy': 'no-referrer',
      })
      expect(headers['x-powered-by']).toBeUndefined()
      expect(headers.etag).toBeUndefined()
    },
  )
})

describe('a service in trouble', () => {
  it('is live but not ready when the store does not answer', async () => {
    const door = await openDoor({
      around: (store) => ({ ...store, sources: () => Promise.reject(new Error('down')) }),
    })
    try {
      expect((await ask(door.url, '/health/live')).status).toBe(200)
      const ready = await ask(door.url, '/health/ready')
      expect(ready.status).toBe(503)
      expect(ready.json).toEqual({ status: 'not-ready' })
    } finally {
      await door.close()
    }
  })

  it('is not ready while nothing can be written, and says by which code in the log and the figures', async () => {
    let problem: string | undefined = 'SQLITE_FULL'
    const door = await openDoor({
      around: (store) => ({
        ...store,
        writeProblem: async () => problem,
        saveSource: () => Promise.reject(new StoreFailed('full', { sqlite: 'SQLITE_FULL' })),
        figures: async () => ({ ...(await store.figures()), writeFailures: { SQLITE_FULL: 3 } }),
      }),
    })
    try {
      expect((await ask(door.url, '/health/ready')).status).toBe(503)
      const refused = await postJson(door.url, '/sources', { name: 'hill-app', title: 'Hill' })
      expect(refused.status).toBe(503)
      expect(refused.text).not.toContain('SQLITE')
      expect(door.log.lines).toMatchObject([
        { event: 'store-takes-no-writes', fields: { sqlite: 'SQLITE_FULL' } },
        { event: 'request-failed', fields: { code: 'STORE_FAILED', sqlite: 'SQLITE_FULL' } },
      ])
      const { text } = await ask(door.url, '/metrics')
      expect(text).toContain('home_bp_store_write_failures_total{code="SQLITE_FULL"} 3')
      problem = undefined
      expect((await ask(door.url, '/health/ready')).json).toEqual({ status: 'ready' })
    } finally {
      await door.close()
    }
  })

  it('limits requests when told to, says how many are left, and leaves health alone', async () => {
    const door = await openDoor({ settings: { limits: { requestsPerMinute: 2 } } })
    try {
      const first = await ask(door.url, '/periods')
      expect(first.headers.ratelimit).toMatch(/r=1;/)
      await ask(door.url, '/periods')
      const third = await ask(door.url, '/periods')
      expect(third.status).toBe(429)
      expect(third.json).toMatchObject({ code: 'TOO_MANY_REQUESTS', status: 429 })
      expect(Number(third.headers['retry-after'])).toBeGreaterThan(0)
      const fourth = await ask(door.url, '/fhir/metadata')
      expect(fourth.status).toBe(429)
      expect(fourth.json).toMatchObject({ resourceType: 'OperationOutcome' })
      expect((await ask(door.url, '/health/live')).status).toBe(200)
    } finally {
      await door.close()
    }
  })

  it('lets go of a client that takes nothing of its answer, and of none that takes its time', async () => {
    const limited = await openDoor({ settings: { limits: { requestSeconds: 1 } } })
    const brokenOff = async () => (await ask(limited.url, '/metrics')).text.includes('status="broken-off"')
    // More than the system holds for a client: what is left stays with the service.
    const asking = () => {
      const socket = connect(Number(new URL(limited.url).port), '127.0.0.1').pause()
      const request = 'GET /documentation/swagger-ui-bundle.js HTTP/1.1\r\nHost: localhost\r\n\r\n'
      socket.write(request.repeat(ANSWERS - 1) + request.replace('Host', 'Connection: close\r\nHost'))
      return socket
    }
    const slow = asking()
    const idle = asking()
    try {
      const { headers } = await ask(limited.url, '/documentation/swagger-ui-bundle.js')
      let bytes = 0
      for await (const chunk of slow) {
        bytes += chunk.length
        await setTimeout(10)
      }
      expect(bytes).toBeGreaterThan(ANSWERS * Number(headers['content-length']))
      await expect.poll(brokenOff, { timeout: 5_000 }).toBe(true)
    } finally {
      slow.destroy()
      idle.destroy()
      await limited.close()
    }
  })

  it('lets go of a client that sends a byte now and then, though it never hangs up itself', async () => {
    const limited = await openDoor({ settings: { limits: { requestSeconds: 1 } } })
    const head =
      'POST /sessions?source=harbour-app HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 9999'
    const socket = connect({
      port: Number(new URL(limited.url).port),
      host: '127.0.0.1',
      allowHalfOpen: true,
    })
    try {
      let heard = ''
      socket.on('data', (chunk) => {
        heard += chunk.toString()
      })
      socket.on('error', () => undefined)
      socket.write(`${head}\r\n\r\n`)
      await expect.poll(() => heard, { timeout: 8_000 }).toContain('408 Request Timeout')
      // Of what it writes nothing is taken any more, which shows as soon as it writes.
      const isClosed = () => {
        if (socket.writable) socket.write(' ')
        return socket.closed
      }
      await expect.poll(isClosed, { timeout: 8_000 }).toBe(true)
    } finally {
      socket.destroy()
      await limited.close()
    }
  })

  it('says which address it cannot have', async () => {
    const door = await openDoor()
    try {
      const port = Number(new URL(door.url).port)
      await expect(openDoor({ settings: { listen: { port } } })).rejects.toThrow(
        `cannot listen on 127.0.0.1 port ${port}: the port is in use. Stop the program`,
      )
    } finally {
      await door.close()
    }
  })
})
