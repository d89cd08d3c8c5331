import { collectDefaultMetrics, Gauge, Registry } from 'prom-client'
import type { Ports } from '../../../flow/ports/ports.ts'
import type { Outcome } from '../../../flow/receive/receive-sessions.ts'
import { packageVersion } from '../../config/package-root.ts'
import { destinationFigures } from './destination-figures.ts'
import { type AnsweredRequest, requestFigures } from './request-figures.ts'
import { sessionFigures } from './session-figures.ts'
import { storeFigures } from './store-figures.ts'

/**
 * Counts for operators. Labels are outcomes, codes, states, patterns of routes and names of destinations: never a source's
 * subject, a session or a patient.
 */
export interface Metrics {
  /** Counts one answered session record. */
  count(outcome: Outcome): void
  /** Counts one answered request. */
  answered(request: AnsweredRequest): void
  /** The figures as text, in the Prometheus format or OpenMetrics 1.0. */
  text(openMetrics: boolean): Promise<{ readonly contentType: string; readonly text: string }>
}

export function createMetrics(ports: Pick<Ports, 'store' | 'clinic' | 'receivers' | 'clock'>): Metrics {
  const plain = new Registry()
  const open = new Registry<typeof Registry.OPENMETRICS_CONTENT_TYPE>()
  open.setContentType(Registry.OPENMETRICS_CONTENT_TYPE)

  const count = sessionFigures(plain)
  const answered = requestFigures(plain)
  const refreshed = [storeFigures(plain, ports), destinationFigures(plain, ports)]
  const build = new Gauge({
    name: 'home_bp_build_info',
    help: 'Always 1; its labels are the release and the Node.js that runs it',
    labelNames: ['version', 'node'] as const,
    registers: [plain],
  })
  build.set({ version: packageVersion(), node: process.versions.node }, 1)
  collectDefaultMetrics({ register: plain })
  for (const { name } of plain.getMetricsAsArray()) {
    const metric = plain.getSingleMetric(name)
    if (metric !== undefined) open.registerMetric(metric)
  }

  return {
    count,
    answered,
    async text(openMetrics) {
      await Promise.all(refreshed.map((refresh) => refresh()))
      const registry = openMetrics ? open : plain
      return { contentType: registry.contentType, text: await registry.metrics() }
    },
  }
}
