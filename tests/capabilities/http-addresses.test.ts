/** Whom a request is counted to: the address that the proxy in front saw, and never one that the client chose. */
import { afterEach, describe, expect, it, vi } from 'vitest'
import { ask } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'

let door: OpenDoor
afterEach(() => door.close())

async function behind(trustedProxies: number): Promise<void> {
  door = await openDoor({
    settings: { access: 'keys', listen: { trustedProxies }, limits: { requestsPerMinute: 9 } },
  })
}

/** How many requests are left to the client after one with that header. */
async function left(forwardedFor: string): Promise<number> {
  const { headers } = await ask(door.url, '/protocols', { headers: { 'X-Forwarded-For': forwardedFor } })
  return Number(/r=(\d+)/.exec(String(headers.ratelimit))?.[1])
}

describe('requests of one address share one limit', () => {
  it.each([
    [
      'no proxy is trusted, whatever the client says',
      0,
      ['192.0.2.7', '192.0.2.8', '127.0.0.1', '::1', 'nobody'],
    ],
    ['the client names others before itself', 1, ['192.0.2.7', '127.0.0.1, 192.0.2.7', '::1,x,, 192.0.2.7']],
    [
      'the client names others before what two proxies saw',
      2,
      ['192.0.2.7, 10.0.0.1', '::1, 192.0.2.7, 10.0.0.2'],
    ],
    ['it is written as IPv6', 1, ['192.0.2.7', '::ffff:192.0.2.7']],
    ['the proxy adds the port of each connection', 1, ['192.0.2.7:50001', '192.0.2.7:50002', '192.0.2.7']],
    ['the same with IPv6', 1, ['[2001:db8::7]:50001', '[2001:db8::7]:50002', '2001:db8::7']],
    ['it moves about in the network it was given', 1, ['2001:db8::7', '2001:db8:0:42::8']],
  ])('where %s', async (_where, trustedProxies, forwarded) => {
    await behind(trustedProxies)
    const counted = []
    for (const one of forwarded) counted.push(await left(one))
    expect(counted).toEqual(forwarded.map((_, index) => 8 - index))
  })

  it('and those of another address have their own', async () => {
    await behind(1)
    expect([await left('192.0.2.7'), await left('192.0.2.8'), await left('2001:db8:1::7')]).toEqual([8, 8, 8])
  })
})

describe('what a client says of its address', () => {
  it.each([
    ['X-Forwarded-For', 1],
    ['Forwarded', 0],
    ['X-Forwarded-For', 0],
  ])('is never written to the log: %s with %i proxies', async (header, trustedProxies) => {
    const written = (['log', 'warn', 'error'] as const).map((how) =>
      vi.spyOn(console, how).mockImplementation(() => {}),
    )
    await behind(trustedProxies)
    await ask(door.url, '/protocols', { headers: { [header]: 'Rowan Thistle 141/88' } })
    const lines = written.flatMap(({ mock }) => mock.calls)
    for (const one of written) one.mockRestore()
    expect(lines).toEqual([])
    expect(JSON.stringify(door.log.lines)).not.toContain('Thistle')
  })
})
