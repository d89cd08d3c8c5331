import { createHash } from 'node:crypto'
import type { Bundle } from 'fhir/r4.js'
import { DEFAULT_ATTENTION_LIMITS } from '../../src/core/clinical/attention/attention-limits.ts'
import { periodNarrative } from '../../src/core/clinical/report/period-narrative.ts'
import { periodSummary } from '../../src/core/clinical/report/period-summary.ts'
import { reportPeriod } from '../../src/core/clinical/report/report-period.ts'
import { averageBundle } from '../../src/core/fhir/average/average-bundle.ts'
import type { SubmittedSession } from '../../src/core/fhir/average/means-bundle.ts'
import { DEFAULT_CANONICAL_BASE } from '../../src/core/fhir/canonical-base.ts'
import { periodUuid } from '../../src/core/fhir/identifiers.ts'
import { readRecord } from '../../src/flow/check/read-record.ts'
import { loadCatalogue } from '../../src/shell/config/catalogue/load-catalogue.ts'
import { averageTypedByHand } from './average-typed-by-hand.ts'
import { type Person, samplePeople } from './people.ts'
import { sampleSessions } from './sample-sessions.ts'

export const SOURCE = 'harbour-app'
export const RECEIVED_AT = '2026-03-09T08:00:00Z'
const SUBJECT = 'HW-1002'
const LAST_DAY = '2026-03-08'

/**
 * Two bundles for an auditor to judge, by file name. One is what this gateway sends to the invented clinic for one
 * person's week. The other is the same week as another system might hand it over: bare readings, and an average that
 * somebody typed with two digits swapped.
 */
export function sampleBundles(): ReadonlyMap<string, Bundle> {
  const person = samplePeople().find(({ subject }) => subject === SUBJECT)
  if (person === undefined) throw new Error(`${SUBJECT} is not among the people`)
  const sittings = sittingsOf(person)
  return new Map([
    ['average-of-a-week.json', averageOfAWeek(person, sittings)],
    ['average-typed-by-hand.json', averageTypedByHand(person, sittings)],
  ])
}

/** A person’s sittings as they were received, read and checked. */
export function sittingsOf(person: Person): readonly SubmittedSession[] {
  const { zone, armCircumferenceCm } = person
  const context = {
    source: SOURCE,
    canonicalBase: DEFAULT_CANONICAL_BASE,
    person: { zone, armCircumferenceCm },
    receivedMs: Date.parse(RECEIVED_AT),
  }
  return sampleSessions(person).map((record) => {
    const read = readRecord(record, context)
    if (!read.ok) throw new Error('a sample session is refused')
    const sha256 = createHash('sha256').update(JSON.stringify(record)).digest('hex')
    const stored = { sha256, receivedAt: RECEIVED_AT, version: 1, withdrawn: false, earlier: [] }
    return { ...read.value, stored }
  })
}

function averageOfAWeek(person: Person, sittings: readonly SubmittedSession[]): Bundle {
  const { zone, firstDay, patient } = person
  const { protocols, thresholdSets } = loadCatalogue({
    canonicalBase: DEFAULT_CANONICAL_BASE,
    destinations: [],
  })
  const protocol = protocols.get(person.protocol)
  if (protocol === undefined) throw new Error(`there is no protocol ${person.protocol}`)
  const report = reportPeriod(
    { protocol, zone, firstDay, lastDay: LAST_DAY },
    sittings,
    protocol.thresholdSets.flatMap((id) => thresholdSets.get(id) ?? []),
    DEFAULT_ATTENTION_LIMITS,
  )
  const identifier = `${encodeURIComponent(patient.system)}|${encodeURIComponent(patient.value)}`
  return averageBundle(report, sittings, {
    source: SOURCE,
    canonicalBase: DEFAULT_CANONICAL_BASE,
    subject: { type: 'Patient', reference: `Patient?identifier=${identifier}` },
    positionAs: 'component-and-extension',
    snomed: false,
    period: periodUuid(SOURCE, person.subject, protocol.id, firstDay),
    revision: 1,
    issued: RECEIVED_AT,
    narrative: periodNarrative(periodSummary(report, 1)),
    decimals: 1,
  })
}
