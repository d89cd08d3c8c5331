import { Counter, collectDefaultMetrics, Gauge, Registry } from 'prom-client'
import type { Store } from '../../../flow/ports/ports.ts'
import type { Outcome } from '../../../flow/receive/receive-sessions.ts'

/**
 * Counts for operators. Labels are outcomes, codes, states and names of destinations: never a source's subject, a
 * session or a patient.
 */
export interface Metrics {
  /** Counts one answered session record. */
  count(outcome: Outcome): void
  /** The figures as text, in the Prometheus format or OpenMetrics 1.0. */
  text(openMetrics: boolean): Promise<{ readonly contentType: string; readonly text: string }>
}

export function createMetrics(
  store: Pick<Store, 'figures' | 'deliverySummary' | 'routes'>,
  now: () => number,
): Metrics {
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
  const writeFailures = new Counter({
    name: 'home_bp_store_write_failures_total',
    help: 'Writes to the store that failed since it was opened, by SQLite’s code; SQLITE_FULL is a full disk',
    labelNames: ['code'] as const,
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
  const queued = new Gauge({
    name: 'home_bp_destination_entries',
    help: 'Outbox entries by destination and state',
    labelNames: ['destination', 'state'] as const,
    registers,
  })
  const oldest = new Gauge({
    name: 'home_bp_destination_oldest_seconds',
    help: 'Age of the oldest outbox entry of a destination that is not settled; 0 when all are',
    labelNames: ['destination'] as const,
    registers,
  })
  const stopped = new Gauge({
    name: 'home_bp_destination_stopped',
    help: '1 while nothing is sent to a destination until an operator resumes it',
    labelNames: ['destination'] as const,
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
    const [figures, summaries, routes] = await Promise.all([
      store.figures(),
      store.deliverySummary(),
      store.routes(),
    ])
    for (const { destination, entries, oldestQueuedMs } of summaries) {
      for (const [state, count] of Object.entries(entries)) queued.set({ destination, state }, count)
      oldest.set({ destination }, oldestQueuedMs === undefined ? 0 : (now() - oldestQueuedMs) / 1000)
    }
    for (const route of routes) {
      stopped.set({ destination: route.destination }, route.stopped === undefined ? 0 : 1)
    }
    for (const [counter, value] of [
      [commits, figures.commits],
      [acknowledged, figures.acknowledged],
      [delivered, figures.outbox.settled],
    ] as const) {
      counter.reset()
      counter.inc(value)
    }
    writeFailures.reset()
    for (const [code, count] of Object.entries(figures.writeFailures)) writeFailures.inc({ code }, count)
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
