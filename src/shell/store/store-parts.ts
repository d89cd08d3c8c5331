import { AuditChainRows } from './audit/audit-chain-rows.ts'
import { AuditRows } from './audit/audit-rows.ts'
import type { Database } from './connection/database.ts'
import { ClinicSaidRows } from './outbox/clinic-said-rows.ts'
import { DeliveredRows } from './outbox/delivered-rows.ts'
import { DeliveryRows } from './outbox/delivery-rows.ts'
import { DueHeads } from './outbox/due-heads.ts'
import { HeldRows } from './outbox/held-rows.ts'
import { OutboxRows } from './outbox/outbox-rows.ts'
import { OutlookRows } from './outbox/outlook-rows.ts'
import { RouteRows } from './outbox/route-rows.ts'
import { UnheardRows } from './outbox/unheard-rows.ts'
import { WaitingRows } from './outbox/waiting-rows.ts'
import { EarlierLinks } from './registry/earlier-links.ts'
import { KeyRows } from './registry/key-rows.ts'
import { Periods } from './registry/periods.ts'
import { RegistryRows } from './registry/registry-rows.ts'
import { SourceNumbers } from './registry/source-numbers.ts'
import { FollowUp } from './sittings/follow-up.ts'
import { Inbox } from './sittings/inbox.ts'
import type { IdKey } from './sittings/lookup-keys.ts'
import { MappedRows } from './sittings/mapped-rows.ts'

/** The rows of every table, on one connection. Each group of calls takes those that it touches. */
export function openParts(database: Database, idKey: IdKey) {
  const sources = new SourceNumbers(database)
  return {
    database,
    sources,
    inbox: new Inbox(database, sources, idKey),
    mapped: new MappedRows(database),
    registry: new RegistryRows(database, sources),
    keys: new KeyRows(database),
    earlierLinks: new EarlierLinks(database),
    periods: new Periods(database, sources),
    outbox: new OutboxRows(database, sources),
    heads: new DueHeads(database, sources),
    deliveries: new DeliveryRows(database, sources),
    outlook: new OutlookRows(database),
    delivered: new DeliveredRows(database),
    unheard: new UnheardRows(database, sources),
    said: new ClinicSaidRows(database),
    held: new HeldRows(database, sources),
    routes: new RouteRows(database),
    audit: new AuditRows(database),
    auditChain: new AuditChainRows(database),
    followUp: new FollowUp(database, sources),
    waiting: new WaitingRows(database),
  }
}
