import type { Bundle, FhirResource } from 'fhir/r4.js'
import { averageRecording } from '../../src/core/clinical/ambulatory/average-recording.ts'
import { recordingNarrative } from '../../src/core/clinical/ambulatory/recording-narrative.ts'
import { recordingSummary } from '../../src/core/clinical/ambulatory/recording-summary.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../../src/core/clinical/attention/attention-limits.ts'
import { ATTENTION_CODES, type AttentionCode, type Finding } from '../../src/core/clinical/finding.ts'
import type { RecordingRule } from '../../src/core/clinical/protocol/recording-rule.ts'
import { attentionBundle } from '../../src/core/fhir/attention/attention-bundle.ts'
import { averageBundle } from '../../src/core/fhir/average/average-bundle.ts'
import { withdrawnMeans } from '../../src/core/fhir/average/withdrawn-means.ts'
import { recordingBundle } from '../../src/core/fhir/recording/recording-bundle.ts'
import { sessionBundle } from '../../src/core/fhir/session/session-bundle.ts'
import { sessionObservations } from '../../src/core/fhir/session/session-observations.ts'
import { averageContext, exampleAverage } from './example-average.ts'
import { EXAMPLE_RECORD, exampleContext, laterRecord } from './example-context.ts'
import { exampleReading, exampleSession, inKPa, withoutStating } from './example-session.ts'
import { techniqueFinding } from './home-sitting.ts'
import { shippedRecordingRules, shippedThresholdSets } from './shipped-profiles.ts'
import { dayAndNight, recordingPlan } from './worn-recording.ts'

/** Whatever the FHIR layer writes, each named by what is odd about it, as JSON would carry it. */
export function emittedResources(): readonly (readonly [name: string, resource: FhirResource])[] {
  const readings = [
    ['clean', exampleSession()],
    [
      'in kPa',
      exampleSession({ readings: [exampleReading({ systolic: inKPa(18.8), diastolic: inKPa(11.7) })] }),
    ],
    ['without diastolic', exampleSession({ readings: [exampleReading({ diastolic: null })] })],
    ['without systolic', exampleSession({ readings: [exampleReading({ systolic: null })] })],
    ['at the wrist', exampleSession({ site: 'wrist', arm: 'right' })],
    ['standing', exampleSession({ position: 'standing' })],
    ['half lying', exampleSession({ position: 'semi-recumbent' })],
    [
      'with nothing said of position, arm and site',
      withoutStating(exampleSession(), 'position', 'arm', 'site'),
    ],
    ['with the arm alone', withoutStating(exampleSession(), 'site')],
    ['with the site alone', withoutStating(exampleSession(), 'arm')],
    ['of a monitor without a clock', exampleSession({ timeFrom: 'receipt' })],
    ['typed, with a note', exampleSession({ entry: 'typed', note: 'Felt <well> & rested.' })],
    [
      'with monitor status',
      exampleSession({
        readings: [exampleReading({ monitorSays: { irregularPulse: true, bodyMovement: false } })],
      }),
    ],
  ] as const
  const session = exampleSession({
    entry: 'typed',
    readings: [exampleReading({ monitorSays: { cuffTooLoose: true } }), exampleReading({ ordinal: 2 })],
    device: {
      manufacturer: 'Invented Instruments',
      model: 'Home 1',
      serial: 'A-1',
      kind: 'upper-arm-automatic',
    },
  })
  const findings = [techniqueFinding()]
  const week = exampleAverage()
  const flaggedOut = exampleAverage({ position: 'lying' })
  const nothing = exampleAverage({ setting: 'clinic' })
  const unstated = exampleAverage({ position: 'not-stated', arm: 'not-stated', site: 'not-stated' })
  return [
    ...readings.flatMap(([name, one]) => [
      ...named(`reading ${name}`, sessionObservations(one, [], exampleContext({ withIds: true }))),
      ...named(
        `reading ${name}, by SNOMED CT`,
        sessionObservations(one, findings, exampleContext({ snomed: true })),
      ),
      ...named(
        `reading ${name}, position apart`,
        sessionObservations(one, [], exampleContext({ positionAs: 'extension' })),
      ),
    ]),
    ['session bundle', sessionBundle(session, findings, exampleContext(), EXAMPLE_RECORD)],
    [
      'session bundle by SNOMED CT',
      sessionBundle(session, [], exampleContext({ snomed: true }), EXAMPLE_RECORD),
    ],
    ['average bundle', averageBundle(week.report, week.sittings, week.context)],
    [
      'average bundle in whole numbers',
      averageBundle(
        flaggedOut.report,
        flaggedOut.sittings,
        averageContext(flaggedOut.report, { decimals: 0, snomed: true, profiles: [] }),
      ),
    ],
    [
      'average bundle of readings that state no position, arm and site',
      averageBundle(unstated.report, unstated.sittings, unstated.context),
    ],
    [
      'average bundle in which nothing counts',
      averageBundle(nothing.report, nothing.sittings, nothing.context),
    ],
    [
      'amended average bundle with a session that was taken back',
      averageBundle(
        week.report,
        week.sittings.map((sitting, at) =>
          at === 0 ? { ...sitting, stored: laterRecord([sitting.session], true) } : sitting,
        ),
        averageContext(week.report, { revision: 2 }),
      ),
    ],
    [
      'bundle of a corrected session that lost a reading',
      sessionBundle(
        exampleSession({ readings: [exampleReading({ ordinal: 2 })] }),
        [],
        exampleContext(),
        laterRecord([session]),
      ),
    ],
    [
      'bundle of a session taken back',
      sessionBundle(session, [], exampleContext(), laterRecord([session], true)),
    ],
    ...ATTENTION_CODES.map(
      (code) =>
        [
          `bundle that calls attention to ${code}`,
          attentionBundle(code, session, [attentionFinding(code)], exampleContext(), EXAMPLE_RECORD),
        ] as const,
    ),
    [
      'bundle of a call for attention taken back',
      attentionBundle('very-high', session, [], exampleContext(), laterRecord([session], true)),
    ],
    [
      'average bundle that names its readings',
      averageBundle(week.report, [], averageContext(week.report, { readingsStay: true })),
    ],
    [
      'amended average bundle that names its readings',
      averageBundle(
        week.report,
        [],
        averageContext(week.report, { readingsStay: true, revision: 2, decimals: 0 }),
      ),
    ],
    [
      'bundle of a call for attention that names its readings',
      attentionBundle(
        'very-high',
        session,
        [attentionFinding('very-high')],
        exampleContext({ readingsStay: true }),
        EXAMPLE_RECORD,
      ),
    ],
    [
      'bundle of a call for attention that names its readings, taken back',
      attentionBundle(
        'very-high',
        session,
        [],
        exampleContext({ readingsStay: true }),
        laterRecord([session], true),
      ),
    ],
    [
      'average bundle taken back',
      withdrawnMeans(averageBundle(week.report, week.sittings, week.context), WITHDRAWAL),
    ],
    [
      'amended average bundle that names its readings taken back',
      withdrawnMeans(
        averageBundle(week.report, [], averageContext(week.report, { readingsStay: true, revision: 2 })),
        { ...WITHDRAWAL, revision: 3 },
      ),
    ],
    ...shippedRecordingRules().map(
      (rule) =>
        [
          `means of a recording taken back by ${rule.id}`,
          withdrawnMeans(recording(rule), WITHDRAWAL),
        ] as const,
    ),
    ...shippedRecordingRules().map(
      (rule) => [`means of a recording by ${rule.id}`, recording(rule)] as const,
    ),
  ]
}

const WITHDRAWAL = {
  canonicalBase: exampleContext().canonicalBase,
  period: averageContext(exampleAverage().report).period,
  revision: 2,
  issued: '2026-03-12T09:00:00Z',
}

function attentionFinding(code: AttentionCode): Finding {
  return { ...techniqueFinding(), code, kind: 'attention', text: `Found: ${code}.` }
}

function recording(rule: RecordingRule): Bundle {
  const sittings = dayAndNight({ numbers: [140, 85, 70], times: 40 }, { numbers: [120, 70, 60], times: 12 })
  const average = averageRecording(recordingPlan(rule), sittings, shippedThresholdSets())
  const { withIds: _, ...context } = averageContext(exampleAverage().report)
  return recordingBundle(
    average,
    sittings.map((sitting) => ({ ...sitting, stored: EXAMPLE_RECORD })),
    {
      ...context,
      narrative: recordingNarrative(recordingSummary(average, DEFAULT_ATTENTION_LIMITS.high, 1)),
    },
  )
}

/** The resources of a bundle, or the resource itself. */
export function resourcesIn(resource: FhirResource): readonly FhirResource[] {
  if (resource.resourceType !== 'Bundle') return [resource]
  return (resource as Bundle<FhirResource>).entry?.flatMap((entry) => entry.resource ?? []) ?? []
}

function named<T>(name: string, items: readonly T[]): readonly (readonly [string, T])[] {
  return items.map((item, index) => [`${name}, Observation ${index + 1}`, item] as const)
}
