import { describe, expect, it } from 'vitest'
import { SettingsRefused } from '../../../core/basics/gateway-error.ts'
import { isLoopback, refuseUnsafeListening } from './refuse-unsafe-listening.ts'

const listenOn = (host: string) => ({ host, port: 8080, trustedProxies: 0 })

describe('listening without access control', () => {
  it.each(['127.0.0.1', '127.255.0.9', '::1', '[::1]', 'localhost', 'LOCALHOST', '::ffff:127.0.0.1'])(
    'is allowed on %s',
    (host) => {
      expect(isLoopback(host)).toBe(true)
      expect(() => refuseUnsafeListening({ access: 'off', listen: listenOn(host) })).not.toThrow()
    },
  )

  it.each([
    '0.0.0.0',
    '::',
    '192.168.1.4',
    '128.0.0.1',
    '127.0.0.256',
    '127.0.0.1.example',
    'localhost.example',
    '',
  ])('is refused on “%s”, saying why and what to do', (host) => {
    expect(() => refuseUnsafeListening({ access: 'off', listen: listenOn(host) })).toThrow(SettingsRefused)
    expect(() => refuseUnsafeListening({ access: 'off', listen: listenOn(host) })).toThrow(
      /not a loopback address.*Set access to "keys"/s,
    )
  })

  it('is no question when keys are asked for', () => {
    expect(() => refuseUnsafeListening({ access: 'keys', listen: listenOn('0.0.0.0') })).not.toThrow()
  })
})
