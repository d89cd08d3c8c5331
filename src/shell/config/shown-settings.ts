import type { Destination, DestinationAccess, TlsMaterial } from '../../core/registry/destination.ts'
import type { Settings } from './settings/settings.ts'

/** The settings as they may be printed: every secret replaced by dots of one length. */
export function shownSettings(settings: Settings): Settings {
  return { ...settings, destinations: settings.destinations.map(shownDestination) }
}

const HIDDEN = '••••••••'

function shownDestination(destination: Destination): Destination {
  if (destination.kind === 'hl7v2') {
    return destination.tls === undefined ? destination : { ...destination, tls: shownTls(destination.tls) }
  }
  return { ...destination, access: shownAccess(destination.access), tls: shownTls(destination.tls) }
}

function shownAccess(access: DestinationAccess): DestinationAccess {
  switch (access.kind) {
    case 'none':
      return access
    case 'bearer':
      return { kind: 'bearer', token: HIDDEN }
    case 'basic':
      return { kind: 'basic', user: access.user, password: HIDDEN }
    case 'smart-backend':
      // Its private keys are in a folder of their own and never among the settings.
      return access
  }
}

function shownTls(tls: TlsMaterial): TlsMaterial {
  return {
    ...tls,
    ...(tls.key === undefined ? {} : { key: HIDDEN }),
    ...(tls.passphrase === undefined ? {} : { passphrase: HIDDEN }),
  }
}
