import type { Ports } from '../../flow/ports/ports.ts'
import type { Settings } from '../config/settings/settings.ts'

/** A gateway put together from settings. Handed to the commands by the entry file, which alone knows how. */
export interface Gateway {
  readonly ports: Ports
  /** Opens the HTTP door. Resolves with the address once requests are answered. */
  listen(): Promise<{ readonly url: string }>
  /** Starts closing due periods and delivering by the clock, to destinations that were stopped as well. */
  startSchedule(): Promise<void>
  /** Stops the clock, the door and the store, in that order, once; what was accepted is on disk already. */
  stop(): Promise<void>
}

export type OpenGateway = (settings: Settings) => Promise<Gateway>
