import type { Bundle, Observation } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { emittedResources } from '../../../tests/support/emitted-resources.ts'
import { averageContext, exampleAverage } from '../../../tests/support/example-average.ts'
import { EXAMPLE_RECORD, exampleContext, laterRecord } from '../../../tests/support/example-context.ts'
import { exampleReading, exampleSession, inKPa } from '../../../tests/support/example-session.ts'
import { techniqueFinding } from '../../../tests/support/home-sitting.ts'
import { messageDestination } from '../../../tests/support/message-destination.ts'
import type { Finding } from '../clinical/finding.ts'
import { attentionBundle } from '../fhir/attention/attention-bundle.ts'
import { averageBundle } from '../fhir/average/average-bundle.ts'
import { readingUuid } from '../fhir/identifiers.ts'
import { sessionBundle } from '../fhir/session/session-bundle.ts'
import { sessionObservations } from '../fhir/session/session-observations.ts'
import type { MessageDestination } from '../registry/destination.ts'
import { oruMessage } from './oru-message.ts'

const MONITOR = { manufacturer: 'Invented Instruments', model: 'Home 1', serial: 'A-1' }

describe('oruMessage', () => {
  it('writes a reading as a panel: the pair, position, site and setting, each under sub-id 1', () => {
    const rows = rowsOf(sessionBundle(exampleSession(), [], exampleContext(), EXAMPLE_RECORD))
    expect(rows.map(([name]) => name)).toEqual([
      'MSH',
      'PID',
      ...['OBR', 'NTE', 'OBX', 'OBX', 'OBX', 'OBX', 'OBX'],
      ...['OBR', 'NTE', 'OBX'],
      ...['OBR', 'NTE', 'OBX', 'OBX', 'OBX', 'OBX', 'OBX'],
      ...['OBR', 'NTE', 'OBX'],
    ])
    expect(
      results(rows)
        .slice(0, 6)
        .map((row) => [row[2], row[3], row[4], row[5], row[6], row[11]]),
    ).toEqual([
      ['NM', '8480-6^Systolic blood pressure^LN', '1', '141', 'mm[Hg]^mm[Hg]^UCUM', 'F'],
      ['NM', '8462-4^Diastolic blood pressure^LN', '1', '88', 'mm[Hg]^mm[Hg]^UCUM', 'F'],
      ['CE', '8361-8^Body position with respect to gravity^LN', '1', 'LA11868-9^Sitting^LN', '', 'F'],
      ['CE', 'body-site^Body site^99HBP', '1', '^Left upper arm', '', 'F'],
      ['CE', 'measurement-setting^Where it was measured^99HBP', '1', 'home^home^99HBP', '', 'F'],
      ['NM', '8867-4^Heart rate^LN', '1', '72', '/min^/min^UCUM', 'F'],
    ])
    // A receiver of 2.5.1 knows no OBX-20: the site stands in an OBX of its own alone.
    expect(results(rows).every((row) => (row[20] ?? '') === '')).toBe(true)
  })

  it('names reading, time and report in OBR, and the monitor in OBX-18 and a note', () => {
    const session = exampleSession({ device: MONITOR })
    const rows = rowsOf(sessionBundle(session, [], exampleContext(), EXAMPLE_RECORD))
    const [report] = reports(rows)
    expect(report?.slice(3, 8)).toEqual([
      `${readingUuid(exampleContext().sessionUuid, 1)}^BPGW`,
      '85354-9^Blood pressure panel with all children optional^LN',
      '',
      '',
      '20260302064100-0700',
    ])
    expect(report?.[8]).toBe('')
    expect(report?.[22]).toBe('20260311080000+0000')
    expect(results(rows)[0]?.[14]).toBe('20260302064100-0700')
    expect(results(rows)[0]?.[18]).toMatch(/^[0-9a-f-]{36}\^BPGW$/)
    expect(notes(rows)).toContain('Measured with: Invented Instruments Home 1, serial A-1.')
  })

  it('says who vouches for the values, and whose words a note is in', () => {
    const session = exampleSession({ entry: 'typed', note: 'Felt well | rested\nthen tea' })
    const found = notes(rowsOf(sessionBundle(session, [], exampleContext(), EXAMPLE_RECORD)))
    expect(found).toContain('Values: patient reported.')
    expect(found).toContain('In the patient’s own words: Felt well \\F\\ rested\\.br\\then tea')
  })

  it('sends a missing number as X, without value, type and unit, and says why in a note', () => {
    const session = exampleSession({ readings: [exampleReading({ diastolic: null })] })
    const rows = rowsOf(sessionBundle(session, [], exampleContext(), EXAMPLE_RECORD))
    const at = rows.findIndex((row) => row[3]?.startsWith('8462-4') === true)
    expect(rows[at]?.slice(2, 12)).toEqual([
      '',
      '8462-4^Diastolic blood pressure^LN',
      '1',
      '',
      '',
      '',
      '',
      '',
      '',
      'X',
    ])
    expect(rows[at + 1]?.[3]).toBe('No value: Unknown.')
  })

  it('keeps what was measured in kPa beside the mmHg', () => {
    const session = exampleSession({ readings: [exampleReading({ systolic: inKPa(18.8) })] })
    const rows = rowsOf(sessionBundle(session, [], exampleContext(), EXAMPLE_RECORD))
    expect(results(rows)[0]?.[5]).toBe('141.01')
    expect(notes(rows)).toContain('Measured as 18.8 kPa.')
  })

  it('names the reading of a monitor status as its parent, and its bits as Yes or No', () => {
    const session = exampleSession({
      readings: [exampleReading({ monitorSays: { irregularPulse: true, bodyMovement: false } })],
    })
    const rows = rowsOf(sessionBundle(session, [], exampleContext(), EXAMPLE_RECORD))
    const status = reports(rows)[2]
    expect(status?.[4]).toBe('8410608^MDC_BLOOD_PRESSURE_MEASUREMENT_STATUS^MDC')
    expect(status?.[29]).toBe(`^${readingUuid(exampleContext().sessionUuid, 1)}&BPGW`)
    expect(
      results(rows)
        .filter((row) => row[5]?.endsWith('HL70136') === true)
        .map((row) => [row[3], row[5]]),
    ).toEqual([
      ['8410608.0^body-movement^L', 'N^No^HL70136'],
      ['8410608.2^irregular-pulse^L', 'Y^Yes^HL70136'],
    ])
  })

  it('sends an amended result as C, under the numbers it had, and one in error as D', () => {
    const first = exampleSession()
    const second = exampleSession({ readings: [exampleReading({ pulse: 75 })] })
    const before = rowsOf(sessionBundle(first, [], exampleContext(), EXAMPLE_RECORD))
    const after = rowsOf(sessionBundle(second, [], exampleContext(), laterRecord([first])))
    expect(new Set(reports(after).map((row) => row[3]))).toEqual(
      new Set(reports(before).map((row) => row[3])),
    )
    expect(reports(after).map((row) => row[25])).toEqual(['C', 'C', 'C', 'C'])
    expect(statuses(after)).toEqual([...Array(6).fill('C'), ...Array(6).fill('D')])
    const back = rowsOf(sessionBundle(first, [], exampleContext(), laterRecord([first], true)))
    expect(new Set(statuses(back))).toEqual(new Set(['D']))
    expect(results(back).map((row) => row.slice(2, 7))).toEqual(results(before).map((row) => row.slice(2, 7)))
  })

  it('sends a call for attention with its interpretation, and takes one back as D', () => {
    const finding: Finding = { ...techniqueFinding(1), code: 'very-high', kind: 'attention' }
    const rows = rowsOf(
      attentionBundle('very-high', exampleSession(), [finding], exampleContext(), EXAMPLE_RECORD),
    )
    const call = results(rows).at(-1)
    expect(call?.slice(2, 12)).toEqual([
      'CE',
      'very-high^Very high reading^99HBP',
      '1',
      'Y^Yes^HL70136',
      '',
      '',
      'HH',
      '',
      '',
      'F',
    ])
    const back = rowsOf(attentionBundle('very-high', exampleSession(), [], exampleContext(), EXAMPLE_RECORD))
    expect(results(back).at(-1)?.slice(5, 12)).toEqual(['N^No^HL70136', '', '', '', '', '', 'D'])
  })

  it('sends an average alone where the destination wants no readings', () => {
    const { report, sittings, context } = exampleAverage()
    const bundle = averageBundle(report, sittings, context)
    const rows = rowsOf(bundle, { readings: 'never' })
    expect(reports(rows).map((row) => row[4]?.split('^')[0])).toEqual(['96607-7'])
    expect(reports(rowsOf(bundle)).length).toBeGreaterThan(50)
  })

  it('puts the period of an average in OBR-7 and OBR-8, its means first, their number behind the first', () => {
    const { report, sittings, context } = exampleAverage()
    const rows = rowsOf(averageBundle(report, sittings, context), { readings: 'never' })
    expect(reports(rows)[0]?.slice(7, 9)).toEqual(['20260304000000-0700', '20260310235959-0600'])
    const first = rows.findIndex(([name]) => name === 'OBX')
    const average = averageBundle(report, sittings, context).entry?.at(-2)?.resource as Observation
    const texts = average.component?.map(({ valueQuantity }) => JSON.stringify(valueQuantity?.value))
    expect([rows[first], rows[first + 2], rows[first + 3]].map((row) => row?.[5])).toEqual(texts)
    expect(rows[first + 1]?.[3]).toBe(
      `Mean of ${report.average.used.length} of ${report.average.received} readings received.`,
    )
  })

  it('gives the mean of each window a code and a sub-id of its own, never those of the mean', () => {
    const rows = rowsOf(week(), { readings: 'never' })
    const windows = results(rows).filter((row) => row[3]?.startsWith('window-mean.sys') === true)
    expect(windows.map((row) => row[4])).toEqual(['morning', 'evening'])
    expect(results(rows).filter((row) => row[3]?.startsWith('96608-5') === true)).toHaveLength(1)
  })

  it('names no result twice in a report, and gives what our extensions hold codes that 2.5.1 has room for', () => {
    for (const bundle of bundles()) {
      let named = new Set<string>()
      let report: string | undefined
      for (const row of rowsOf(bundle)) {
        if (row[0] === 'OBR') {
          named = new Set()
          report = row[4]
        }
        if (row[0] !== 'OBX') continue
        const [code = ''] = row[3]?.split('^') ?? []
        if (row[3] !== report) expect(code).toMatch(/^.{1,20}$/)
        expect(row[4]).toMatch(/^.{1,20}$/)
        expect(named).not.toContain(`${code} ${row[4]}`)
        named.add(`${code} ${row[4]}`)
      }
    }
  })

  it('carries the body site in OBX-20 from 2.6 on, and coded values as CWE', () => {
    const bundle = sessionBundle(exampleSession(), [], exampleContext(), EXAMPLE_RECORD)
    const rows = rowsOf(bundle, { version: '2.6' })
    expect(results(rows)[0]?.[20]).toBe('^Left upper arm')
    expect(results(rows)[2]?.[2]).toBe('CWE')
    expect(results(rows).some((row) => row[3]?.startsWith('body-site') === true)).toBe(false)
  })

  it('asks for the acknowledgement that settles, and for no other', () => {
    expect(rowsOf(week(), { settledBy: 'commit' })[0]?.slice(14, 16)).toEqual(['AL', 'NE'])
    expect(rowsOf(week(), { settledBy: 'application' })[0]?.slice(14, 16)).toEqual(['NE', 'AL'])
  })

  it('names the patient by the identifier alone, whatever is in it', () => {
    const context = { destination: messageDestination(), controlId: '1', messageTime: '2026-03-09T08:00:00Z' }
    const message = oruMessage(week(), { ...context, patient: { system: 's', value: 'P^1|2' } })
    expect(message.split('\r')[1]).toBe('PID|1||P\\S\\1\\F\\2^^^CLINIC^MR||~^^^^^^U')
  })

  it('takes a sender of several components as they are written in the settings', () => {
    const sender = { application: 'BPGW^1.2.3^ISO', facility: 'HOMEBP' }
    const rows = rowsOf(week(), { sender, readings: 'never' })
    expect(rows[0]?.slice(2, 4)).toEqual(['BPGW^1.2.3^ISO', 'HOMEBP'])
    expect(reports(rows)[0]?.[3]).toMatch(/^[0-9a-f-]{36}\^BPGW$/)
  })

  it('is the same message whenever the same thing is sent', () => {
    expect(rowsOf(week())).toEqual(rowsOf(week()))
  })

  it('refuses an Observation without a number of ours, which could never be corrected', () => {
    const [observation] = sessionObservations(exampleSession(), [], exampleContext())
    if (observation === undefined) throw new Error('a session without a reading')
    const nameless: Observation = { ...observation, identifier: [] }
    const foreign: Bundle = { resourceType: 'Bundle', type: 'transaction', entry: [{ resource: nameless }] }
    expect(() => rowsOf(foreign)).toThrow('opens its identifiers with ours')
  })

  it('refuses to report nothing', () => {
    const bundle: Bundle = { resourceType: 'Bundle', type: 'transaction', entry: [] }
    expect(() => rowsOf(bundle)).toThrow(TypeError)
    const session = sessionBundle(exampleSession(), [], exampleContext(), EXAMPLE_RECORD)
    expect(() => rowsOf(session, { readings: 'never' })).toThrow(TypeError)
  })
})

function week(): Bundle {
  const { report, sittings } = exampleAverage()
  return averageBundle(report, sittings, averageContext(report))
}

/** Every kind of bundle the FHIR layer makes. */
function bundles(): readonly Bundle[] {
  return emittedResources().flatMap(([, resource]) => (resource.resourceType === 'Bundle' ? [resource] : []))
}

/** Segments as fields by their number: in MSH field 3 stands at 2. */
function rowsOf(bundle: Bundle, changes: Partial<MessageDestination> = {}): readonly (readonly string[])[] {
  const message = oruMessage(bundle, {
    destination: messageDestination(changes),
    patient: { system: 'https://clinic.example/mrn', value: '4711' },
    controlId: '7f3c0001',
    messageTime: '2026-03-09T08:00:00Z',
  })
  expect(message.endsWith('\r')).toBe(true)
  return message
    .slice(0, -1)
    .split('\r')
    .map((line) => line.split('|'))
}

function reports(rows: readonly (readonly string[])[]) {
  return rows.filter(([name]) => name === 'OBR')
}

function results(rows: readonly (readonly string[])[]) {
  return rows.filter(([name]) => name === 'OBX')
}

function statuses(rows: readonly (readonly string[])[]) {
  return results(rows).map((row) => row[11])
}

function notes(rows: readonly (readonly string[])[]) {
  return rows.filter(([name]) => name === 'NTE').map((row) => row[3])
}
