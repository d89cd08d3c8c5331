import { hash } from 'node:crypto'
import type { Bundle } from 'fhir/r4.js'
import { benchSubject, generateSessions } from '../../../samples/generator/generate-sessions.ts'
import { uuidV5 } from '../../../src/core/basics/uuid-v5.ts'
import { periodUuid, sessionUuid } from '../../../src/core/fhir/identifiers.ts'
import type { IssuedAverage, Period } from '../../../src/core/registry/period.ts'
import { closeDuePeriods } from '../../../src/flow/periods/close-due-periods.ts'
import { patientCondition } from '../../../src/flow/render/patient-condition.ts'
import { Database } from '../../../src/shell/store/connection/database.ts'
import { OutboxRows } from '../../../src/shell/store/outbox/outbox-rows.ts'
import { Periods } from '../../../src/shell/store/registry/periods.ts'
import { SourceNumbers } from '../../../src/shell/store/registry/source-numbers.ts'
import { openSqliteEngine } from '../../../src/shell/store/sqlite-engine.ts'
import { openFlows, recordsOf, samplePerson } from '../../support/open-flows.ts'

export const SOURCE = 'bench-app'
export const DESTINATION = 'clinic'

const SYSTEM = 'https://clinic.example/mrn'
const RECEIVED = '2026-11-24T12:00:00Z'
const COMMIT = 1_000

/**
 * Fills a new store with people and, queued for each of them, one session of three readings; all of it merged. Behind all
 * of them comes the first person's second session, on the same monitor, by which the server's conditions are proven.
 *
 * @returns how many entries are queued.
 */
export function queueSessions(file: string, count: number): number {
  enrolPeople(file, count)
  const engine = openSqliteEngine({
    file,
    readingsAtOnce: new Set([DESTINATION]),
    attentionAtOnce: new Set(),
  })
  const sessions = [...generateSessions({ seed: 1, count, subjects: count })]
  const [first] = sessions
  if (first !== undefined) sessions.push({ ...first, id: `${first.id}-again` })
  const records = sessions.map((session, index) => {
    const subject = benchSubject((index % count) + 1)
    const raw = JSON.stringify({ ...session, subject })
    return {
      uuid: sessionUuid(SOURCE, session.id),
      source: SOURCE,
      id: session.id,
      subject,
      takenMs: Date.parse(session.takenAt),
      raw,
      sha256: hash('sha256', raw, 'hex'),
      receivedAt: RECEIVED,
    }
  })
  for (let from = 0; from < records.length; from += COMMIT) engine.accept(records.slice(from, from + COMMIT))
  while (engine.mergeStep());
  engine.close()
  return records.length
}

/**
 * Fills a new store with people and, queued for each of them, an average of a week with all its readings: that of one
 * person of the samples, made by the flows, under the patient of each.
 *
 * @returns how many entries are queued.
 */
export async function queueAverages(file: string, count: number): Promise<number> {
  enrolPeople(file, count)
  const sample = await sampleAverage()
  const database = new Database(file)
  const sources = new SourceNumbers(database)
  const periods = new Periods(database, sources)
  const outbox = new OutboxRows(database, sources)
  database.write(() => {
    for (let number = 1; number <= count; number += 1) {
      const subject = benchSubject(number)
      const id = periodUuid(SOURCE, subject, sample.period.protocol, sample.period.firstDay)
      const period: Period = { ...sample.period, id, source: SOURCE, subject, state: 'open', revision: 0 }
      const bundle = sample.average.bundle
        .replaceAll(
          JSON.stringify(patientCondition(sample.patient)),
          JSON.stringify(patientCondition(patientOf(number))),
        )
        .replaceAll(UUID, (uuid) => (sample.monitors.includes(uuid) ? uuid : uuidV5(uuid, subject)))
      periods.open(period)
      periods.close(id, { average: { ...sample.average, period: id, bundle }, readThrough: 0, urgent: false })
      outbox.enqueue({
        destination: DESTINATION,
        sourceNo: sources.assign(SOURCE),
        subject,
        kind: 'average',
        part: '1',
        urgent: false,
        about: id,
        queuedMs: Date.parse(RECEIVED),
      })
    }
  })
  database.close()
  return count
}

/**
 * Puts the first entries that were delivered back, as if nothing had been tried, as many as are given; the others stay
 * delivered. What is known of the server stays known, but for what it holds.
 */
export function queueAgain(file: string, entries: number): void {
  const database = new Database(file)
  database.write(() => {
    database
      .prepare(`UPDATE outbox SET state = 'waiting', attempts = 0, claims = 0, due_ms = queued_ms, next_ms = queued_ms,
        settled_ms = NULL, uncertain = 0, last_problem = NULL, ready = 1 WHERE id <= ?`)
      .run(entries)
    database.run('DELETE FROM settled_count')
    database.run('DELETE FROM held; DELETE FROM held_by_entry')
  })
  database.run('PRAGMA wal_checkpoint(TRUNCATE)')
  database.close()
}

function enrolPeople(file: string, count: number): void {
  const engine = openSqliteEngine({ file, readingsAtOnce: new Set(), attentionAtOnce: new Set() })
  const at = { at: RECEIVED, actor: 'bench', about: SOURCE, outcome: 'done', detail: {} } as const
  engine.saveSource({ name: SOURCE, title: 'Bench app' }, { ...at, action: 'source-registered' })
  engine.close()
  const database = new Database(file)
  const enrol = database.prepare(`INSERT INTO enrolment
    SELECT source_no, ?, ?, ?, 'America/Denver', ?, NULL FROM source_number`)
  database.write(() => {
    for (let number = 1; number <= count; number += 1) {
      const { system, value } = patientOf(number)
      enrol.run(benchSubject(number), system, value, DESTINATION)
    }
  })
  database.close()
}

function patientOf(number: number): { readonly system: string; readonly value: string } {
  return { system: SYSTEM, value: `P-${number}` }
}

const UUID = /[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}/g

async function sampleAverage(): Promise<{
  readonly period: Period
  readonly average: IssuedAverage
  /** UUIDs of the monitors in it, which people share. */
  readonly monitors: readonly string[]
  readonly patient: { readonly system: string; readonly value: string }
}> {
  const person = samplePerson('HW-1001')
  const flows = await openFlows()
  try {
    await flows.enrol(person.subject, { patient: person.patient })
    await flows.receive(recordsOf(person))
    const id = await flows.openPeriod(person.subject, person.firstDay, person.days, person.protocol)
    flows.setClock(RECEIVED)
    await closeDuePeriods(flows.ports)
    const period = await flows.ports.store.period(id)
    const [average] = await flows.ports.store.issuedAverages(id)
    if (period === undefined || average === undefined) throw new Error('the sample has no average')
    const { entry = [] }: Bundle = JSON.parse(average.bundle)
    const monitors = entry.flatMap(({ resource, fullUrl = '' }) =>
      resource?.resourceType === 'Device' ? fullUrl.slice('urn:uuid:'.length) : [],
    )
    return { period, average, monitors, patient: person.patient }
  } finally {
    await flows.close()
  }
}
