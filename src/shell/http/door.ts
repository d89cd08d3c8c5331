import type { Ports } from '../../flow/ports/ports.ts'
import type { Settings } from '../config/settings/settings.ts'
import type { Metrics } from './figures/metrics.ts'
import type { Access } from './guard/access.ts'
import type { KnownSources } from './guard/known-sources.ts'

/** What every family of routes is built from. */
export interface Door {
  readonly ports: Ports
  readonly settings: Settings
  readonly access: Access
  readonly sources: KnownSources
  readonly metrics: Metrics
}
