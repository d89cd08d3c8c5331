import type { Destination } from '../../src/core/registry/destination.ts'
import { resolveSettings } from '../../src/shell/config/reading/resolve-settings.ts'
import { type Settings, settingsDocument } from '../../src/shell/config/settings/settings.ts'

/** Settings as a file with these keys would give them, on a port the system chooses, for an invented clinic. */
export function exampleSettings(written: Readonly<Record<string, unknown>> = {}): Settings {
  const document = settingsDocument.parse({
    listen: { port: 0 },
    log: { level: 'silent' },
    destinations: [{ name: 'clinic', baseUrl: 'http://127.0.0.1:9/fhir' }],
    ...written,
  })
  const settings = resolveSettings(document, {})
  if (!settings.ok)
    throw new Error(settings.issues.map(({ at, expected }) => `${at}: ${expected}`).join('; '))
  return settings.value
}

/** Names of the destinations that want readings, and calls for attention, as soon as they come. */
export function wantedAtOnce(destinations: readonly Destination[]) {
  const wanting = (what: 'readings' | 'attention') =>
    new Set(destinations.filter((one) => one[what] === 'at-once').map(({ name }) => name))
  return { readingsAtOnce: wanting('readings'), attentionAtOnce: wanting('attention') }
}
