/** However few readings a period holds, and under whichever protocol, it can be closed and its average is valid. */
import type { Bundle, FhirResource } from 'fhir/r4.js'
import { afterEach, describe, expect, it } from 'vitest'
import { OWN_EXTENSIONS } from '../../src/core/fhir/own-urls.ts'
import { errorsIn } from '../../src/core/validation/validate-resource.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { type OpenFlows, openFlows } from '../support/open-flows.ts'
import { type RawRecord, rawRecord } from '../support/raw-record.ts'
import { shippedProtocols, shippedRecordingRules } from '../support/shipped-profiles.ts'

type Pressures = readonly [systolic: number | null, diastolic: number | null]

interface Sitting {
  /** Wall-clock time in March 2026, such as 02T07:00. */
  readonly at: string
  readonly readings: readonly Pressures[]
  readonly arm?: 'left' | 'right'
}

const MORNING = '02T07:00'
const EVENING = '02T19:00'
const ONE: Pressures = [157, 93]
const OTHER: Pressures = [151, 90]
/** Three whole days, for rules that leave out the first one or two of them, or the first reading of each sitting. */
const WHOLE_DAYS: readonly Sitting[] = ['02', '03', '04'].flatMap((day) =>
  ['07', '19'].map((hour) => ({ at: `${day}T${hour}:00`, readings: [ONE, OTHER, ONE] })),
)

const FEW: Readonly<Record<string, readonly Sitting[]>> = {
  'no reading': [],
  'one reading': [{ at: MORNING, readings: [ONE] }],
  'one reading in the evening': [{ at: EVENING, readings: [ONE] }],
  'one without systolic': [{ at: MORNING, readings: [[null, 93]] }],
  'one without diastolic': [{ at: MORNING, readings: [[157, null]] }],
  'one with a diastolic of zero': [{ at: MORNING, readings: [[157, 0]] }],
  two: [{ at: MORNING, readings: [ONE, OTHER] }],
  'two alike': [{ at: MORNING, readings: [ONE, ONE] }],
  'two, one without systolic': [{ at: MORNING, readings: [ONE, [null, 90]] }],
  'two, one without diastolic': [{ at: MORNING, readings: [[157, null], OTHER] }],
  'two, neither complete': [
    {
      at: MORNING,
      readings: [
        [157, null],
        [null, 90],
      ],
    },
  ],
  'one in the morning and one in the evening': [
    { at: MORNING, readings: [ONE] },
    { at: EVENING, readings: [OTHER] },
  ],
  'one on each arm': [
    { at: MORNING, readings: [ONE] },
    { at: '02T07:05', arm: 'right', readings: [OTHER] },
  ],
  'one on each arm on two days': [
    { at: MORNING, readings: [ONE] },
    { at: '03T07:00', arm: 'right', readings: [OTHER] },
  ],
  'one a day on three days': ['02', '03', '04'].map((day) => ({ at: `${day}T07:00`, readings: [ONE] })),
  'one after a day': [...WHOLE_DAYS.slice(0, 2), { at: '03T07:00', readings: [ONE] }],
  'two after two days': [...WHOLE_DAYS.slice(0, 4), { at: '04T07:00', readings: [ONE, OTHER] }],
  'one after three days': [...WHOLE_DAYS, { at: '05T07:00', readings: [ONE] }],
}

/** Every protocol asks for three days at least, so that these are too few under any. */
const TOO_FEW = ['no reading', 'one reading', 'two', 'two, one without diastolic', 'one on each arm']

const RULES: readonly (readonly [setting: 'home' | 'ambulatory', id: string])[] = [
  ...shippedProtocols().map(({ id }) => ['home', id] as const),
  ...shippedRecordingRules().map(({ id }) => ['ambulatory', id] as const),
]

let flows: OpenFlows
afterEach(() => flows.close())

function recordsFor(subject: string, setting: string, sittings: readonly Sitting[]): readonly RawRecord[] {
  return sittings.map(({ at, arm = 'left', readings }, place) =>
    rawRecord({
      id: `${subject}-${place}`,
      subject,
      setting,
      arm,
      takenAt: `2026-03-${at}:00-07:00`,
      readings: readings.map(([systolic, diastolic], index) => ({
        takenAt: `2026-03-${at}:${String(index * 20).padStart(2, '0')}-07:00`,
        systolic,
        diastolic,
      })),
      ...(readings.some(([, diastolic]) => diastolic === 0) ? { device: { kind: 'upper-arm-manual' } } : {}),
    }),
  )
}

/** Every case as a period of its own, under one rule; what is written is read whole from the store. */
async function closeAll(setting: string, rule: string) {
  const periods = new Map<string, string>()
  for (const [place, [name, sittings]] of Object.entries(FEW).entries()) {
    const subject = `HW-${place}`
    await flows.enrol(subject)
    const records = recordsFor(subject, setting, sittings)
    if (records.length > 0) await flows.receive(records)
    periods.set(name, await flows.openPeriod(subject, '2026-03-02', setting === 'home' ? 7 : 2, rule))
  }
  const closed = await closeDuePeriods(flows.ports)
  const bundles = new Map<string, Bundle<FhirResource>>()
  for (const [name, id] of periods) {
    const issued = (await flows.ports.store.issuedAverages(id)).at(-1)
    if (issued !== undefined) bundles.set(name, JSON.parse(issued.bundle))
  }
  return { closed, bundles }
}

describe.each(RULES)('%s: under %s', (setting, rule) => {
  it.each(['flag', 'exclude'])('a period of few readings closes, what was noticed: %s', async (policy) => {
    const findings = { 'gap-too-short': policy }
    flows = await openFlows({ now: '2026-04-01T00:00:00Z', destination: { findings } })
    const { closed, bundles } = await closeAll(setting, rule)

    expect(flows.log.lines).toEqual([])
    expect([...bundles.keys()]).toEqual(Object.keys(FEW))
    expect(closed).toBe(Object.keys(FEW).length)
    for (const [name, bundle] of bundles) {
      expect(errorsIn(bundle), name).toEqual([])
      expect(JSON.stringify(bundle), name).not.toMatch(/:(?:\[\]|\{\}|"")/)
      if (setting === 'home' && TOO_FEW.includes(name)) expect(enoughDaysOf(bundle), name).toEqual([false])
    }
  })
})

/** What the average says itself: whether it rests on as many days as its protocol asks for. */
function enoughDaysOf({ entry = [] }: Bundle<FhirResource>): readonly boolean[] {
  return entry
    .flatMap(({ resource }) => (resource?.resourceType === 'Observation' ? (resource.extension ?? []) : []))
    .filter(({ url }) => url.endsWith(`/${OWN_EXTENSIONS.sufficiency}`))
    .flatMap(({ extension = [] }) => extension.filter(({ url }) => url === 'enoughDays'))
    .flatMap(({ valueBoolean }) => valueBoolean ?? [])
}
