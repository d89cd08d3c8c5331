import type { Ports } from '../../flow/ports/ports.ts'
import type { Settings } from '../config/settings.ts'
import type { Access } from './access.ts'
import type { KnownSources } from './known-sources.ts'
import type { Metrics } from './metrics.ts'

/** What every family of routes is built from. */
export interface Door {
  readonly ports: Ports
  readonly settings: Settings
  readonly access: Access
  readonly sources: KnownSources
  readonly metrics: Metrics
}
