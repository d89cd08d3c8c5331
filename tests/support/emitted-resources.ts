import type { Bundle, FhirResource } from 'fhir/r4.js'
import { averageBundle } from '../../src/core/fhir/average-bundle.ts'
import { sessionBundle } from '../../src/core/fhir/session-bundle.ts'
import { sessionObservations } from '../../src/core/fhir/session-observations.ts'
import { averageContext, exampleAverage } from './example-average.ts'
import { EXAMPLE_RECORD, exampleContext } from './example-context.ts'
import { exampleReading, exampleSession, inKPa } from './example-session.ts'
import { techniqueFinding } from './home-sitting.ts'

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
    ['average bundle', averageBundle(week.average, week.sittings, week.context)],
    [
      'average bundle in whole numbers',
      averageBundle(
        flaggedOut.average,
        flaggedOut.sittings,
        averageContext(flaggedOut.average, { decimals: 0, snomed: true, profiles: [] }),
      ),
    ],
    [
      'average bundle in which nothing counts',
      averageBundle(nothing.average, nothing.sittings, nothing.context),
    ],
  ]
}

/** The resources of a bundle, or the resource itself. */
export function resourcesIn(resource: FhirResource): readonly FhirResource[] {
  if (resource.resourceType !== 'Bundle') return [resource]
  return (resource as Bundle<FhirResource>).entry?.flatMap((entry) => entry.resource ?? []) ?? []
}

function named<T>(name: string, items: readonly T[]): readonly (readonly [string, T])[] {
  return items.map((item, index) => [`${name}, Observation ${index + 1}`, item] as const)
}
