import type { Ports } from '../../flow/ports/ports.ts'
import type { Settings } from '../config/settings/settings.ts'
import type { OpenGateway } from './open-gateway.ts'
import { loadSettings } from './options/settings-option.ts'

/** Does something with the gateway of the settings, without its door or clock, and closes it again. */
export async function onStore<T>(
  openGateway: OpenGateway,
  options: { readonly settings?: string },
  act: (at: Ports, settings: Settings) => Promise<T>,
): Promise<T> {
  const settings = loadSettings(options.settings)
  const gateway = await openGateway(settings)
  try {
    return await act(gateway.ports, settings)
  } finally {
    await gateway.stop()
  }
}
