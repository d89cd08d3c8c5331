import { addDays, startOfDay } from '../../../core/basics/local-day.ts'
import { averageColumns } from '../../../core/clinical/averaging/average-columns.ts'
import type { SweepRequest, SweptAverage } from '../../../flow/ports/ports.ts'
import { ReadOnlyFile } from '../connection/read-only-file.ts'
import { type NamedSitting, PersonColumns } from './person-columns.ts'

/** People read and averaged at a time: a few milliseconds of work. */
const PEOPLE = 500

/** No zone is as far from UTC as a day. */
const SLACK_DAYS = 1

interface SweptRow {
  readonly subject: string
  readonly zone: string
  readonly packed: string
  /** Whether other enrolments link to the same patient. */
  readonly linked: 0 | 1
}

/** A zone's days in epoch milliseconds, the end excluded. */
interface Span {
  readonly fromMs: number
  readonly toMs: number
}

const LONGEST = '(SELECT longest_ms FROM merged)'
const LINKED = `EXISTS (SELECT 1 FROM enrolment o WHERE o.destination = e.destination
  AND o.patient_system = e.patient_system AND o.patient_value = e.patient_value
  AND (o.source_no <> e.source_no OR o.subject <> e.subject))`
const OF_PERSON = `s.first_ms BETWEEN ?2 - ${LONGEST} AND ?3 AND s.last_ms >= ?2`

/**
 * Averages everyone enrolled, source by source in the order of their names, subjects in the order of their bytes.
 *
 * Each batch reads its own short snapshot of the file, so that a slow reader does not keep the write-ahead log from
 * being folded back; a person's sittings are always of one moment.
 */
export function* sweepBatches(file: string, request: SweepRequest): Generator<readonly SweptAverage[], void> {
  const database = new ReadOnlyFile(file)
  try {
    for (const { source_no, name } of database.all<SourceRow>(SOURCES, request.source ?? null)) {
      yield* sweepSource(database, source_no, name, request)
    }
  } finally {
    database.close()
  }
}

interface SourceRow {
  readonly source_no: number
  readonly name: string
}

const SOURCES = 'SELECT source_no, name FROM source_number WHERE ?1 IS NULL OR name = ?1 ORDER BY name'

function* sweepSource(
  database: ReadOnlyFile,
  sourceNo: number,
  source: string,
  request: SweepRequest,
): Generator<readonly SweptAverage[], void> {
  const { protocol, firstDay, lastDay } = request
  const fromMs = startOfDay(addDays(firstDay, -SLACK_DAYS), 'UTC')
  const toMs = startOfDay(addDays(lastDay, 1 + SLACK_DAYS), 'UTC')
  const people = database.prepare<SweptRow>(`SELECT e.subject, e.zone, group_concat(s.packed, '') AS packed,
      ${LINKED} AS linked
    FROM enrolment e CROSS JOIN sitting s ON s.source_no = e.source_no AND s.subject = e.subject AND ${OF_PERSON}
    WHERE e.source_no = ?1 AND e.subject > ?4 GROUP BY e.subject ORDER BY e.subject LIMIT ?5`)
  const ofPerson = database.prepare<NamedSitting>(
    `SELECT s.id, s.packed FROM sitting s WHERE s.source_no = ?1 AND ${OF_PERSON} AND s.subject = ?4`,
  )
  const spans = new Map<string, Span>()
  const spanOf = (zone: string): Span => {
    let span = spans.get(zone)
    if (span === undefined) {
      span = { fromMs: startOfDay(firstDay, zone), toMs: startOfDay(addDays(lastDay, 1), zone) }
      spans.set(zone, span)
    }
    return span
  }

  const unpacked = new PersonColumns()
  const average = ({ subject, zone, packed, linked }: SweptRow): SweptAverage | undefined => {
    const span = spanOf(zone)
    const columns =
      unpacked.ofFollowing(packed, span.fromMs, span.toMs) ??
      unpacked.ofNamed(ofPerson.all(sourceNo, fromMs, toMs, subject), span.fromMs, span.toMs)
    if (columns.rows === 0) return undefined
    const { received, inPeriod, ...rest } = averageColumns({ protocol, zone, firstDay, lastDay }, columns)
    if (inPeriod === 0) return undefined
    return { source, subject, linked: linked === 1, received, ...rest }
  }

  let after = ''
  for (;;) {
    const batch = database.read(() => {
      const rows = people.all(sourceNo, fromMs, toMs, after, PEOPLE)
      after = rows.at(-1)?.subject ?? after
      return { averages: rows.flatMap((row) => average(row) ?? []), isLast: rows.length < PEOPLE }
    })
    if (batch.averages.length > 0) yield batch.averages
    if (batch.isLast) return
  }
}
