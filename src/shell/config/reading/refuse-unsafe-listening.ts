import { SettingsRefused } from '../../../core/basics/gateway-error.ts'
import type { Settings } from '../settings/settings.ts'

/**
 * Refuses to serve other machines without access control.
 *
 * @throws SettingsRefused when access is off and the address is not loopback.
 */
export function refuseUnsafeListening(settings: Pick<Settings, 'access' | 'listen'>): void {
  if (settings.access !== 'off' || isLoopback(settings.listen.host)) return
  throw new SettingsRefused(
    'access is "off", and listen.host is not a loopback address: anyone who reaches it could read and send patients’ ' +
      'data. Set access to "keys" and issue a key per source, or set listen.host to 127.0.0.1.',
  )
}

/**
 * Whether only this machine can reach the address: 127.0.0.0/8, ::1, or the name localhost.
 * Source: RFC 1122 section 3.2.1.3, RFC 4291 section 2.5.3, RFC 6761 section 6.3.
 */
export function isLoopback(host: string): boolean {
  const bare = host.replace(/^\[|\]$/g, '').toLowerCase()
  if (bare === 'localhost' || bare === '::1' || bare === '0:0:0:0:0:0:0:1') return true
  return /^(?:::ffff:)?127(?:\.(?:25[0-5]|2[0-4]\d|1?\d?\d)){3}$/.test(bare)
}
