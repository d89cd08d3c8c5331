import type { AuditEntry } from '../../core/audit/audit-entry.ts'
import type { ChainLook, ChainPlace } from '../../core/audit/chain.ts'
import type { AttentionCode } from '../../core/clinical/finding.ts'
import type { Route } from '../../core/exchange/route/route.ts'
import type { DeliveredOf, HeldResource, OutboxEntry } from '../../core/outbox/entry.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import type { IssuedAverage, Period } from '../../core/registry/period.ts'
import type { AccessKey, Source } from '../../core/registry/source.ts'
import type {
  Arrivals,
  AuditFilter,
  Correction,
  Delivery,
  DeliveryFilter,
  DestinationSummary,
  LinkSaved,
  ListedEnrolment,
  MappedFrom,
  Page,
  PeriodClosing,
  PeriodFilter,
  PeriodWithdrawal,
  SessionRecord,
  StoredSession,
  StoreFigures,
  Unheard,
  WaitingLook,
} from '../../flow/ports/ports.ts'
import { type AcceptingParts, acceptRecord } from './arrivals/accept-record.ts'
import { correctSession, withdrawSession } from './arrivals/change-session.ts'
import { type LinkingParts, saveLink } from './arrivals/save-link.ts'
import { AuditChainRows } from './audit/audit-chain-rows.ts'
import { type AuditLook, AuditRows } from './audit/audit-rows.ts'
import { Database } from './connection/database.ts'
import { migrate } from './connection/migrate.ts'
import { claimOwnership, type Ownership } from './connection/sole-opener.ts'
import { lastingFailure } from './connection/sqlite-code.ts'
import { ClinicSaidRows } from './outbox/clinic-said-rows.ts'
import { DeliveredRows } from './outbox/delivered-rows.ts'
import { DeliveryRows } from './outbox/delivery-rows.ts'
import {
  type DeliveringParts,
  type DeliveryWrite,
  type Written,
  writeDelivery,
} from './outbox/delivery-writes.ts'
import { DueHeads } from './outbox/due-heads.ts'
import { HeldRows } from './outbox/held-rows.ts'
import { OutboxRows } from './outbox/outbox-rows.ts'
import { RouteRows } from './outbox/route-rows.ts'
import { UnheardRows } from './outbox/unheard-rows.ts'
import { WaitingRows } from './outbox/waiting-rows.ts'
import { writtenHeld } from './outbox/written-held.ts'
import { EarlierLinks } from './registry/earlier-links.ts'
import { KeyRows } from './registry/key-rows.ts'
import { Periods } from './registry/periods.ts'
import { RegistryRows } from './registry/registry-rows.ts'
import { SourceNumbers } from './registry/source-numbers.ts'
import { FollowUp } from './sittings/follow-up.ts'
import { Inbox, type Kept } from './sittings/inbox.ts'
import { type IdKey, idKey } from './sittings/lookup-keys.ts'
import { MappedRows } from './sittings/mapped-rows.ts'
import { mergeRun } from './sittings/merge.ts'

export interface EngineOptions {
  readonly file: string
  /** Names of the destinations that want each session's readings when they arrive. */
  readonly readingsAtOnce: ReadonlySet<string>
  /** Names of the destinations that want to hear at once of what asks for attention. */
  readonly attentionAtOnce: ReadonlySet<string>
  /**
   * Epoch ms from which what a dead process had claimed may be claimed again, where that is before its lease ends: a
   * clinic's server may still be finishing what it was asked. Absent: when the lease ends.
   */
  readonly claimsFreeMs?: number
  /** Another lookup key than the usual one, for tests of keys that meet. */
  readonly idKey?: IdKey
}

/**
 * The store as plain calls on one SQLite connection, in one thread: one call for each of the port, each of them one
 * transaction. What they promise is written at `Store`.
 */
export class SqliteEngine {
  readonly #idKey: IdKey
  readonly #ownership: Ownership
  readonly #database: Database
  readonly #sources: SourceNumbers
  readonly #inbox: Inbox
  readonly #mapped: MappedRows
  readonly #registry: RegistryRows
  readonly #keys: KeyRows
  readonly #earlierLinks: EarlierLinks
  readonly #periods: Periods
  readonly #outbox: OutboxRows
  readonly #deliveries: DeliveryRows
  readonly #unheard: UnheardRows
  readonly #said: ClinicSaidRows
  readonly #held: HeldRows
  readonly #routes: RouteRows
  readonly #audit: AuditRows
  readonly #auditChain: AuditChainRows
  readonly #followUp: FollowUp
  readonly #waiting: WaitingRows
  readonly #accepting: AcceptingParts
  readonly #linking: LinkingParts
  readonly #delivering: DeliveringParts
  #merging: Generator<void, void> | undefined
  #commits = 0
  #acknowledged = 0

  constructor(options: EngineOptions) {
    const { file, readingsAtOnce, attentionAtOnce, claimsFreeMs, idKey: key = idKey } = options
    this.#idKey = key
    const database = new Database(file)
    this.#database = database
    try {
      migrate(database)
      database.tryWrite()
      this.#ownership = claimOwnership(file)
    } catch (error) {
      database.close()
      throw error
    }
    this.#sources = new SourceNumbers(database)
    this.#inbox = new Inbox(database, this.#sources, key)
    this.#mapped = new MappedRows(database)
    this.#registry = new RegistryRows(database, this.#sources)
    this.#keys = new KeyRows(database)
    this.#earlierLinks = new EarlierLinks(database)
    this.#periods = new Periods(database, this.#sources)
    this.#outbox = new OutboxRows(database, this.#sources)
    this.#deliveries = new DeliveryRows(database, this.#sources)
    this.#unheard = new UnheardRows(database, this.#sources)
    this.#said = new ClinicSaidRows(database)
    this.#held = new HeldRows(database, this.#sources)
    this.#routes = new RouteRows(database)
    this.#audit = new AuditRows(database)
    this.#auditChain = new AuditChainRows(database)
    this.#followUp = new FollowUp(database, this.#sources)
    this.#waiting = new WaitingRows(database)
    this.#accepting = {
      sources: this.#sources,
      inbox: this.#inbox,
      mapped: this.#mapped,
      registry: this.#registry,
      outbox: this.#outbox,
      audit: this.#audit,
      readingsAtOnce,
      attentionAtOnce,
    }
    this.#linking = {
      ...this.#accepting,
      periods: this.#periods,
      earlierLinks: this.#earlierLinks,
      delivered: new DeliveredRows(database),
    }
    this.#delivering = {
      heads: new DueHeads(database, this.#sources),
      outbox: this.#outbox,
      said: this.#said,
      held: this.#held,
      audit: this.#audit,
    }
    if (this.#ownership.sole) database.write(() => this.#outbox.lapseClaims(claimsFreeMs))
  }

  /** Lets calls that only read share a transaction, as far as they follow one another in `calls`. */
  together<T>(calls: () => T): T {
    return this.#database.readsTogether(calls)
  }

  /** Rows that wait to be merged. */
  get unmerged(): number {
    return this.#inbox.unmerged
  }

  /** Does a few milliseconds of merging. False when everything was merged. */
  mergeStep(): boolean {
    this.#merging ??= mergeRun(this.#database, this.#inbox, this.#sources, this.#idKey)
    try {
      if (this.#merging.next().done !== true) return true
    } catch (error) {
      this.#merging = undefined
      throw error
    }
    this.#merging = undefined
    return this.#inbox.unmerged > 0
  }

  /** Does a few milliseconds of merging towards an inbox place. False when the merge has passed it. */
  mergeTowards(seq: number): boolean {
    if (this.#database.read(() => this.#inbox.mergedTo) >= seq) return false
    this.mergeStep()
    return true
  }

  accept(records: readonly SessionRecord[]): readonly Kept[] {
    const answers = this.#database.write(() => records.map((record) => acceptRecord(record, this.#accepting)))
    if (answers.some(({ outcome }) => outcome === 'kept')) {
      this.#commits += 1
      this.#acknowledged += records.length
    }
    return answers
  }

  correct(record: SessionRecord, audit: AuditEntry): Correction {
    return this.#database.write(() => correctSession(record, audit, this.#accepting))
  }

  withdraw(source: string, id: string, receivedAt: string, audit: AuditEntry): StoredSession | undefined {
    return this.#database.write(() => withdrawSession(source, id, receivedAt, audit, this.#accepting))
  }

  sessionVersions(uuid: string): readonly StoredSession[] {
    return this.#database.read(() => this.#inbox.versions(uuid))
  }

  newestSeq(): number {
    return this.#database.read(() => this.#inbox.last)
  }

  /** Inbox place up to which the next follow-up goes; undefined when all was followed. To be merged before it. */
  nextFollowUp(limit: number): number | undefined {
    return this.#database.read(() => this.#followUp.next(limit, this.#inbox.last))
  }

  unfollowed(throughSeq: number): Arrivals {
    return this.#database.read(() => this.#followUp.arrivals(throughSeq))
  }

  markFollowed(throughSeq: number): void {
    this.#database.write(() => this.#followUp.mark(throughSeq))
  }

  raiseAttention(
    session: string,
    code: AttentionCode,
    destination: string,
    nowMs: number,
    audit: AuditEntry,
  ): boolean {
    return this.#recordedIf(audit, () => {
      const stored = this.#inbox.byUuid(session)
      if (stored === undefined) throw new Error('there is no such session to call attention to')
      return this.#outbox.enqueue({
        destination,
        sourceNo: this.#sources.assign(stored.source),
        subject: stored.subject,
        kind: 'attention',
        part: code,
        urgent: true,
        about: stored.uuid,
        queuedMs: nowMs,
      })
    })
  }

  session(source: string, id: string): StoredSession | undefined {
    return this.#database.read(() => this.#inbox.bySourceAndId(source, id))
  }

  sessionByUuid(uuid: string): StoredSession | undefined {
    return this.#database.read(() => this.#inbox.byUuid(uuid))
  }

  mappedFrom(seq: number): MappedFrom | undefined {
    return this.#database.read(() => this.#mapped.of(seq))
  }

  sessionsBetween(source: string, subject: string, fromMs: number, toMs: number): readonly StoredSession[] {
    return this.#database.read(() => this.#inbox.ofSubjectBetween(source, subject, fromMs, toMs))
  }

  saveSource(source: Source, audit: AuditEntry): void {
    this.#recorded(audit, () => this.#registry.saveSource(source))
  }

  sources(): readonly Source[] {
    return this.#database.read(() => this.#registry.sources())
  }

  saveAccessKey(key: AccessKey, audit: AuditEntry): void {
    this.#recorded(audit, () => this.#keys.save(key))
  }

  accessKey(sha256: string): AccessKey | undefined {
    return this.#database.read(() => this.#keys.valid(sha256))
  }

  accessKeys(): readonly AccessKey[] {
    return this.#database.read(() => this.#keys.all())
  }

  revokeAccessKey(id: string, audit: AuditEntry): boolean {
    return this.#recordedIf(audit, () => this.#keys.revoke(id, audit.at))
  }

  saveEnrolment(enrolment: Enrolment, audit: AuditEntry): LinkSaved {
    return this.#database.write(() => saveLink(enrolment, audit, this.#linking))
  }

  enrolments(source: string, subjects: readonly string[]): readonly (Enrolment | undefined)[] {
    return this.#database.read(() => this.#registry.enrolments(source, subjects))
  }

  earlierPatient(source: string, subject: string, destination: string): Enrolment['patient'] | undefined {
    return this.#database.read(() => {
      const sourceNo = this.#sources.find(source)
      return sourceNo === undefined ? undefined : this.#earlierLinks.patient(sourceNo, subject, destination)
    })
  }

  enrolmentsOf(patient: Enrolment['patient'], destination: string): readonly Enrolment[] {
    return this.#database.read(() => this.#registry.ofPatient(patient, destination))
  }

  enrolmentPage(page: Page & { readonly source?: string }): readonly ListedEnrolment[] {
    return this.#database.read(() => this.#registry.page(page))
  }

  /** One look at the subjects after one that wait for an enrolment, as far as sessions are merged. */
  lookForWaiting(source: string, after: string, limit: number): WaitingLook {
    return this.#database.read(() => {
      const sourceNo = this.#sources.find(source)
      if (sourceNo === undefined) return { waiting: [] }
      return this.#waiting.look(sourceNo, after, limit, this.#inbox.mergedTo)
    })
  }

  openPeriod(period: Period, audit: AuditEntry): boolean {
    return this.#recordedIf(audit, () => this.#periods.open(period))
  }

  period(id: string): Period | undefined {
    return this.#database.read(() => this.#periods.get(id))
  }

  periodPage(page: Page & PeriodFilter): readonly Period[] {
    return this.#database.read(() => this.#periods.page(page))
  }

  duePeriods(nowMs: number, limit: number): readonly Period[] {
    return this.#database.read(() => this.#periods.due(nowMs, limit))
  }

  periodsOf(source: string, subject: string): readonly Period[] {
    return this.#database.read(() => this.#periods.of(source, subject))
  }

  closePeriod(id: string, closing: PeriodClosing, nowMs: number, audit: AuditEntry): boolean {
    return this.#database.write(() => {
      const closed = this.#periods.close(id, closing)
      if (closed === undefined) return false
      this.#audit.append(audit)
      const { average, elsewhere = [], urgent, readThrough, overtaken } = closing
      for (const one of average === undefined ? elsewhere : [average, ...elsewhere]) {
        this.#queueAverage(closed, one, urgent && one === average, nowMs)
      }
      if (overtaken !== undefined && this.#followUp.isFollowedSince(readThrough, overtaken.person)) {
        this.#periods.reopen(id, nowMs)
        this.#audit.append(overtaken.audit)
      }
      return true
    })
  }

  reopenPeriod(id: string, dueMs: number, audit: AuditEntry): boolean {
    return this.#recordedIf(audit, () => this.#periods.reopen(id, dueMs))
  }

  withdrawPeriod(id: string, withdrawal: PeriodWithdrawal, nowMs: number, audit: AuditEntry): boolean {
    return this.#recordedIf(audit, () => {
      const withdrawn = this.#periods.withdraw(id, withdrawal)
      if (withdrawn === undefined) return false
      // Never urgent: it would overtake what it takes back.
      for (const one of withdrawal.takenBack) this.#queueAverage(withdrawn, one, false, nowMs)
      return true
    })
  }

  issuedAverages(period: string): readonly IssuedAverage[] {
    return this.#database.read(() => this.#periods.averages(period))
  }

  writeDeliveries(writes: readonly DeliveryWrite[]): readonly Written[] {
    return this.#database.write(() => writes.map((write) => writeDelivery(write, this.#delivering)))
  }

  unheard(nowMs: number, limit: number, which: 'all' | 'claimed'): readonly Unheard[] {
    return this.#database.read(() => this.#unheard.find(nowMs, limit, which))
  }

  doubtOpen(destination: string): void {
    this.#database.write(() => void this.#outbox.doubtOpen(destination))
  }

  forgetHeld(destination: string): void {
    this.#database.write(() => this.#held.forget(destination))
  }

  held(
    destination: string,
    of: readonly DeliveredOf[],
    uuids: readonly string[],
  ): ReadonlyMap<string, HeldResource> {
    return this.#database.read(() => this.#held.held(destination, of, uuids))
  }

  queuedCalls(destination: string, session: string): readonly string[] {
    return this.#database.read(() => this.#deliveries.queuedCalls(destination, session))
  }

  delivery(id: number): Delivery | undefined {
    return this.#database.read(() => {
      const entry = this.#deliveries.get(id)
      if (entry === undefined) return undefined
      const said = this.#said.of(id)
      return {
        ...entry,
        ...(said === undefined ? {} : { said }),
        ...this.#deliveries.behind(id),
        held: this.#held.broughtBy(entry),
      }
    })
  }

  deliveryPage(page: Page & DeliveryFilter): readonly OutboxEntry[] {
    return this.#database.read(() => this.#deliveries.page(page))
  }

  deliverySummary(): readonly DestinationSummary[] {
    return this.#database.read(() => this.#deliveries.summary())
  }

  retryDeliveries(
    which: DeliveryFilter & { readonly id?: number },
    nowMs: number,
    audit: AuditEntry,
  ): number {
    return this.#database.write(() => {
      const looked = which.id !== undefined || which.problem === 'OUTCOME_UNKNOWN'
      const released = this.#outbox.release(this.#deliveries.stuck(which), nowMs, looked)
      if (released > 0) this.#audit.append(audit)
      return released
    })
  }

  confirmDelivery(id: number, held: readonly HeldResource[], audit: AuditEntry): boolean {
    return this.#recordedIf(audit, () => {
      const entry = this.#outbox.confirm(id, Date.parse(audit.at))
      if (entry === undefined) return false
      this.#said.remove(id)
      this.#held.add(entry, writtenHeld(held))
      return true
    })
  }

  forgetSaid(beforeMs: number): number {
    return this.#database.write(() => this.#said.forget(beforeMs))
  }

  route(destination: string): Route | undefined {
    return this.#database.read(() => this.#routes.get(destination))
  }

  routes(): readonly Route[] {
    return this.#database.read(() => this.#routes.all())
  }

  saveRoute(route: Route, audit?: AuditEntry): void {
    this.#database.write(() => {
      this.#routes.save(route)
      if (audit !== undefined) this.#audit.append(audit)
    })
  }

  recordAudit(audit: AuditEntry): void {
    this.#recorded(audit, () => undefined)
  }

  lookInAudit(after: number, limit: number, filter: AuditFilter): AuditLook {
    return this.#database.read(() => this.#audit.look(after, limit, filter))
  }

  followAudit(after: ChainPlace, limit: number): ChainLook {
    return this.#database.read(() => this.#auditChain.follow(after, limit))
  }

  /** Where the last write failed, tries one more. SQLite's code of why nothing can be written; undefined when it can. */
  writeProblem(): string | undefined {
    if (this.#database.failedWrite === undefined) return undefined
    try {
      this.#database.tryWrite()
      return undefined
    } catch (error) {
      const code = lastingFailure(error)
      if (code === undefined) throw error
      return code
    }
  }

  figures(): StoreFigures {
    return this.#database.read(() => ({
      sessions: this.#inbox.countSessions(),
      ...this.#registry.counts(),
      ...this.#periods.counts(),
      outbox: this.#deliveries.counts(),
      auditRows: this.#audit.last,
      commits: this.#commits,
      acknowledged: this.#acknowledged,
      writeFailures: this.#database.writeFailures,
    }))
  }

  close(): void {
    this.#database.close()
    this.#ownership.release()
  }

  #queueAverage(
    { id, source, subject }: Period,
    { revision, destination }: IssuedAverage,
    urgent: boolean,
    queuedMs: number,
  ): void {
    const sourceNo = this.#sources.assign(source)
    const part = String(revision)
    const kind = 'average'
    this.#outbox.enqueue({ destination, sourceNo, subject, kind, part, urgent, about: id, queuedMs })
  }

  #recorded<T>(audit: AuditEntry, work: () => T): T {
    return this.#database.write(() => {
      const result = work()
      this.#audit.append(audit)
      return result
    })
  }

  /** Records the act only when it changed something. */
  #recordedIf(audit: AuditEntry, work: () => boolean): boolean {
    return this.#database.write(() => {
      const changed = work()
      if (changed) this.#audit.append(audit)
      return changed
    })
  }
}
