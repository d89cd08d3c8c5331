import { Counter, Gauge, type Registry } from 'prom-client'
import type { Ports } from '../../../flow/ports/ports.ts'

/** What the store holds and has done. Gives what brings the figures up to date. */
export function storeFigures(registry: Registry, { store }: Pick<Ports, 'store'>): () => Promise<void> {
  const registers = [registry]
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
  const held = new Gauge({
    name: 'home_bp_held',
    help: 'What the store holds, by kind',
    labelNames: ['kind'] as const,
    registers,
  })

  return async () => {
    const figures = await store.figures()
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
}
