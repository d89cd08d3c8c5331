import { describe, expect, it } from 'vitest'
import { translateIssues } from '../../src/core/mapping/apply/translate-issue.ts'
import { readSession } from '../../src/core/record/read-session.ts'
import { mappedSample, outcomesOf, shippedMapping } from '../support/shipped-mapping.ts'

/*
 * Data points as the Open mHealth schema library has them: omh:blood-pressure 4.0, omh:heart-rate 2.0, omh:header 1.2,
 * and the header of IEEE 1752.1-2021. https://github.com/openmhealth/schemas. O1 to O8 are shaped after the library's
 * own test data, which mark each body as passing or failing its schema; what is refused as a reading beyond that, and
 * O10, is our choice.
 */

const mapping = shippedMapping('open-mhealth')
const AT = '2020-02-05T07:25:00-08:00'

const header = {
  id: '243c773b-8936-407e-9c23-270d0ea49cc4',
  creation_date_time: '2020-02-05T07:26:00-08:00',
  schema_id: { namespace: 'omh', name: 'blood-pressure', version: '4.0' },
  acquisition_provenance: { source_name: 'harbour-app', modality: 'sensed' },
  user_id: 'HW-1001',
}

const body = (systolic: number, diastolic: number, more: object = {}) => ({
  systolic_blood_pressure: { value: systolic, unit: 'mmHg' },
  diastolic_blood_pressure: { value: diastolic, unit: 'mmHg' },
  effective_time_frame: { date_time: AT },
  ...more,
})

/** The native record of a data point; the issues as `code from` where it is refused. */
function taken(point: unknown): unknown {
  const [outcome] = outcomesOf(mapping, [point])
  if (outcome?.kind === 'sitting') return outcome.sitting.record
  return outcome?.kind === 'refused' ? outcome.issues.map(({ code, from }) => `${code} ${from}`) : outcome
}

describe('an Open mHealth data point', () => {
  it('O1 with pressures and a time is a reading, its time and offset kept', () => {
    const record = taken({ header, body: body(115, 60) })
    expect(record).toEqual({
      id: header.id,
      subject: 'HW-1001',
      takenAt: AT,
      setting: 'home',
      unit: 'mmHg',
      entry: 'transferred',
      readings: [{ takenAt: AT, systolic: 115, diastolic: 60 }],
    })
    const read = readSession(record, {})
    expect(read).toMatchObject({ ok: true, value: { session: { takenAt: { text: AT } } } })
  })

  it('O2 keeps posture and location in our words', () => {
    const more = { body_posture: 'sitting', measurement_location: 'left upper arm' }
    const record = taken({ header, body: body(140, 60, more) })
    expect(record).toMatchObject({ position: 'sitting', arm: 'left', site: 'upper-arm' })
    expect(readSession(record, {}).ok).toBe(true)
  })

  it('O3 from a wrist is taken, as a wrist', () => {
    const more = {
      measurement_location: 'left wrist',
      temporal_relationship_to_physical_activity: 'at rest',
    }
    const record = taken({ header, body: body(125, 60, more) })
    expect(record).toMatchObject({ arm: 'left', site: 'wrist' })
    expect(readSession(record, {}).ok).toBe(true)
  })

  it('O4 that is the maximum of a week fits the schema and is refused as a reading', () => {
    const week = { start_date_time: '2020-02-05T07:00:00-08:00', end_date_time: '2020-02-12T07:00:00-08:00' }
    const more = { effective_time_frame: { time_interval: week }, descriptive_statistic: 'maximum' }
    const refused = taken({ header, body: body(160, 60, more) })
    expect(refused).toContain("REFUSED_BY_MAPPING $['body']['descriptive_statistic']")
    expect(String(refused)).not.toContain('RECORD_SCHEMA')
  })

  it('O4 as an average is refused as a reading too', () => {
    expect(taken({ header, body: body(130, 80, { descriptive_statistic: 'average' }) })).toEqual([
      "REFUSED_BY_MAPPING $['body']['descriptive_statistic']",
    ])
  })

  it.each([
    [
      'O5 with a unit that is not mmHg',
      { systolic_blood_pressure: { value: 115, unit: 'mmH' } },
      "['systolic_blood_pressure']['unit']",
    ],
    [
      'O5 with the unit of another code system',
      { diastolic_blood_pressure: { value: 60, unit: 'mm[Hg]' } },
      "['diastolic_blood_pressure']['unit']",
    ],
    [
      'O6 with a word for activity that does not exist',
      { temporal_relationship_to_physical_activity: 'rest' },
      "['temporal_relationship_to_physical_activity']",
    ],
    [
      'O7 with the interval of an earlier version',
      { effective_time_frame: { time_interval: { date: '2013-02-05', part_of_day: 'morning' } } },
      "['effective_time_frame']['time_interval']",
    ],
    [
      'O8 with a moment and an interval',
      { effective_time_frame: { date_time: AT, time_interval: { start_date_time: AT, end_date_time: AT } } },
      "['effective_time_frame']",
    ],
  ])('%s does not fit its schema', (_what, more, at) => {
    expect(taken({ header, body: body(115, 60, more) })).toContain(`RECORD_SCHEMA $['body']${at}`)
  })

  const { id: _id, ...nameless } = header
  const recorded = { source_name: 'harbour-app', modality: 'recorded' }
  it.each([
    ['O9 without an id', { header: nameless, body: body(115, 60) }, "$['header']['id']"],
    [
      'O9 with a modality that does not exist',
      { header: { ...header, acquisition_provenance: recorded }, body: body(115, 60) },
      "$['header']['acquisition_provenance']['modality']",
    ],
    [
      'O9 with a number for a person',
      { header: { ...header, user_id: 1 }, body: body(115, 60) },
      "$['header']['user_id']",
    ],
    ['O9 without a body', { header }, "$['body']"],
  ])('%s does not fit its schema', (_what, point, at) => {
    expect(taken(point)).toContain(`RECORD_SCHEMA ${at}`)
  })

  it('O10 with the version as a number is told where', () => {
    const schema_id = { ...header.schema_id, version: 4 }
    expect(taken({ header: { ...header, schema_id }, body: body(115, 60) })).toEqual([
      "UNKNOWN_KIND $['header']['schema_id']['version']",
    ])
  })

  it('O10 with a time without an offset is refused: UTC is not assumed', () => {
    const more = { effective_time_frame: { date_time: '2020-02-05T07:25:00' } }
    expect(taken({ header, body: body(115, 60, more) })).toEqual([
      "TIME_NEEDS_OFFSET $['body']['effective_time_frame']['date_time']",
    ])
  })
})

describe('beyond the vectors', () => {
  const ieee = {
    uuid: header.id,
    schema_id: header.schema_id,
    source_creation_date_time: header.creation_date_time,
    modality: 'self-reported',
    user_id: 'HW-1001',
  }

  it('the header of IEEE 1752.1 names the sitting by its uuid', () => {
    expect(taken({ header: ieee, body: body(115, 60) })).toMatchObject({ id: header.id, entry: 'typed' })
  })

  it('a header that does not say how the value was acquired is refused', () => {
    const { modality: _modality, ...silent } = ieee
    expect(taken({ header: silent, body: body(115, 60) })).toEqual([
      "MISSING_KEY $['header']['acquisition_provenance']['modality']",
    ])
  })

  it.each(['left ankle', 'right thigh', 'left thorax'])(
    'a pressure from %s is refused',
    (measurement_location) => {
      const at = "NOT_A_CHOICE $['body']['measurement_location']"
      expect(taken({ header, body: body(115, 60, { measurement_location }) })).toEqual([at, at])
    },
  )

  it('blood pressure 3.0 is read, and 2.0 is no kind we know', () => {
    const version = (text: string) => ({ ...header, schema_id: { ...header.schema_id, version: text } })
    expect(taken({ header: version('3.0'), body: body(115, 60) })).toMatchObject({ id: header.id })
    expect(taken({ header: version('2.0'), body: body(115, 60) })).toEqual([
      "UNKNOWN_KIND $['header']['schema_id']['version']",
    ])
  })

  it('the sample becomes sittings with their pulses, which our reader accepts', () => {
    const points = mappedSample('open-mhealth.ndjson')
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as unknown)
    const sittings = outcomesOf(mapping, points).map((outcome) => {
      if (outcome.kind !== 'sitting') throw new Error(JSON.stringify(outcome))
      const { sitting } = outcome
      const read = readSession(sitting.record, {})
      expect(read.ok ? [] : translateIssues(read.issues, sitting)).toEqual([])
      return sitting.record.readings
    })
    expect(sittings).toMatchObject([
      [
        { systolic: 131, diastolic: 84, pulse: 67 },
        { systolic: 128, diastolic: 82, pulse: 66 },
      ],
      [{ systolic: 126, diastolic: 80 }],
      [{ systolic: 139, diastolic: 88 }],
    ])
  })
})
