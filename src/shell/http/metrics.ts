import { Counter, collectDefaultMetrics, Gauge, Registry } from 'prom-client'
import type { Store } from '../../flow/ports.ts'
import type { Outcome } from '../../flow/receive-sessions.ts'

/**
 * Counts for operators. Labels are outcomes, codes and states: never a source's subject, a session or a patient.
 */
export interface Metrics {
  /** Counts one answered session record. */
  count(outcome: Outcome): void
  /** The figures as text, in the Prometheus format or OpenMetrics 1.0. */
  text(openMetrics: boolean): Promise<{ readonly contentType: string; readonly text: string }>
}

export function createMetrics(store: Pick<Store, 'figures'>): Metrics {
  const plain = new Registry()
  const open = new Registry<typeof Registry.OPENMETRICS_CONTENT_TYPE>()
  open.setContentType(Registry.OPENMETRICS_CONTENT_TYPE)
  const registers = [plain]

  const sessions = new Counter({
    name: 'home_bp_sessions_received_total',
    help: 'Session records answered since the start, by outcome',
    labelNames: ['outcome'] as const,
    registers,
  })
  const refusals = new Counter({
    name: 'home_bp_refusal_issues_total',
    help: 'Issues of refused session records since the start, by code',
    labelNames: ['code'] as const,
    registers,
  })
  const commits = new Counter({
    name: 'home_bp_commits_total',
    help: 'Durable commits of accepted sessions since the store was opened',
    registers,
  })
  const acknowledged = new Counter({
    name: 'home_bp_sessions_acknowledged_total',
    help: 'Session records that those commits made durable',
    registers,
  })
  const delivered = new Counter({
    name: 'home_bp_deliveries_total',
    help: 'Outbox entries that a clinic’s server holds',
    registers,
  })
  const outbox = new Gauge({
    name: 'home_bp_outbox_entries',
    help: 'Outbox entries by state',
    labelNames: ['state'] as const,
    registers,
  })
  const held = new Gauge({
    name: 'home_bp_held',
    help: 'What the store holds, by kind',
    labelNames: ['kind'] as const,
    registers,
  })
  collectDefaultMetrics({ register: plain })
  for (const { name } of plain.getMetricsAsArray()) {
    const metric = plain.getSingleMetric(name)
    if (metric !== undefined) open.registerMetric(metric)
  }

  async function refresh(): Promise<void> {
    const figures = await store.figures()
    for (const [counter, value] of [
      [commits, figures.commits],
      [acknowledged, figures.acknowledged],
      [delivered, figures.outbox.settled],
    ] as const) {
      counter.reset()
      counter.inc(value)
    }
    for (const [state, count] of Object.entries(figures.outbox)) outbox.set({ state }, count)
    for (const kind of ['sessions', 'sources', 'enrolments', 'periods', 'averages', 'auditRows'] as const) {
      held.set({ kind }, figures[kind])
    }
  }

  return {
    count(outcome) {
      sessions.inc({ outcome: outcome.kind })
      if (outcome.kind === 'refused') for (const { code } of outcome.issues) refusals.inc({ code })
    },
    async text(openMetrics) {
      await refresh()
      const registry = openMetrics ? open : plain
      return { contentType: registry.contentType, text: await registry.metrics() }
    },
  }
}
