import { type DecodedRecord, decodedFrom, remark } from '../basics/decoded-record.ts'
import { type Issue, inputError } from '../basics/issue.ts'
import { type NonEmpty, ok, type Result, refused } from '../basics/result.ts'
import type { SourceRecord } from '../basics/source-record.ts'
import { readOctets } from './encoded-octets.ts'
import { type Envelope, readEnvelope } from './envelope.ts'
import { type Layout, type Measurement, readMeasurement } from './measurement.ts'
import { type MonitorFeatures, readFeatures } from './monitor-status.ts'

/** What a mapping reads of one indication. */
export interface IndicationTree {
  readonly envelope: Envelope
  readonly measurement: Measurement
}

/**
 * Decodes one indication of a blood pressure monitor, sent by a phone app in an envelope of JSON, into a tree that a
 * mapping reads. One record in, one record out, or every issue found. Never throws.
 *
 * An intermediate cuff pressure (0x2A36, 0x2B35) is never a reading: it is what the cuff held on the way.
 * Source: Bluetooth Blood Pressure Service 1.1.1.
 */
export function decodeIndication(sent: SourceRecord): Result<readonly DecodedRecord[]> {
  const envelope = readEnvelope(sent.value)
  if (!envelope.ok) return envelope
  const layout = layoutOf(envelope.value.characteristic)
  if (!layout.ok) return layout
  const features = featuresOf(envelope.value)
  if (!features.ok) return features
  const octets = readOctets(envelope.value.value, envelope.value.encoding)
  if (octets === undefined) return refused([notOctets('value', envelope.value)])

  const read = readMeasurement(octets, layout.value, features.value)
  if (!read.ok) return read
  const { measurement, remarks } = read.value
  const other = otherUser(measurement, envelope.value)
  if (other?.severity === 'error') return refused([other])
  const tree: IndicationTree = { envelope: envelope.value, measurement }
  return ok([
    {
      record: decodedFrom(sent, tree, sent.text),
      remarks: other === undefined ? remarks : [...remarks, other],
    },
  ])
}

/** Characteristics of the Blood Pressure Service by their assigned numbers. Source: Bluetooth Assigned Numbers. */
const LAYOUTS: ReadonlyMap<string, Layout | 'intermediate'> = new Map([
  ['2a35', 'measurement'],
  ['2b34', 'enhanced'],
  ['2a36', 'intermediate'],
  ['2b35', 'intermediate'],
])

/**
 * A 16-bit number alone, or inside the base UUID. Source: Bluetooth Core Specification, volume 3, part B, section 2.5.1.
 */
const ASSIGNED = /^(?:(?:0x)?([0-9a-f]{4})|0000([0-9a-f]{4})-0000-1000-8000-00805f9b34fb)$/

function layoutOf(characteristic: string): Result<Layout> {
  const parts = ASSIGNED.exec(characteristic.toLowerCase())
  const layout = LAYOUTS.get(parts?.[1] ?? parts?.[2] ?? '')
  if (layout === 'intermediate') return refused(INTERMEDIATE)
  return layout === undefined ? refused(OTHER_CHARACTERISTIC) : ok(layout)
}

const INTERMEDIATE: NonEmpty<Issue> = [
  inputError(
    'business-rule',
    'NOT_A_MEASUREMENT',
    'characteristic',
    'a finished measurement: an intermediate cuff pressure is what the cuff held on the way',
    'Send the values of 2A35 or 2B34 only.',
  ),
]

const OTHER_CHARACTERISTIC: NonEmpty<Issue> = [
  inputError(
    'not-supported',
    'NOT_SUPPORTED',
    'characteristic',
    'Blood Pressure Measurement (2A35) or Enhanced Blood Pressure Measurement (2B34)',
    'Send the values of these two only.',
  ),
]

function featuresOf(envelope: Envelope): Result<MonitorFeatures | undefined> {
  if (envelope.feature === undefined) return ok(undefined)
  const octets = readOctets(envelope.feature, envelope.encoding)
  if (octets === undefined) return refused([notOctets('feature', envelope)])
  const [low, high] = octets
  if (low === undefined || high === undefined) {
    const remedy = 'Send the whole Feature word, or leave the key out.'
    return refused([inputError('structure', 'TRUNCATED', 'feature', 'two bytes', remedy)])
  }
  return ok(readFeatures(low + high * 0x100))
}

function notOctets(at: string, { encoding }: Envelope): Issue {
  const expected =
    encoding === 'hex'
      ? 'two hexadecimal digits for each byte, with or without blanks between bytes'
      : 'padded base64 without line breaks'
  return inputError(
    'value',
    'OUT_OF_RANGE',
    at,
    expected,
    'Send the bytes as they came, or correct `encoding`.',
  )
}

/** Monitors are shared: a measurement of another user of the monitor is another person's. */
function otherUser({ user }: Measurement, { monitorUser }: Envelope): Issue | undefined {
  if (monitorUser === undefined || user === monitorUser) return undefined
  const expected = 'the user of the monitor who is named in `monitorUser`'
  if (user === 'unknown' || user === undefined)
    return remark('value', expected, 'Have the person choose their user on the monitor.')
  const remedy = 'Send the measurement for the person whose it is; nothing of it was kept.'
  return inputError('business-rule', 'NOT_A_MEASUREMENT', 'value', expected, remedy)
}
