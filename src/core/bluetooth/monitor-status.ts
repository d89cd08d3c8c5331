import { type DecodedRecord, remark } from '../basics/decoded-record.ts'

/**
 * What a monitor said about one thing it may look for. A bit of 0 means `not-detected` only where the Feature word says
 * that the monitor looks for it; where it says that it does not, `not-looked-for`; without a Feature word the two cannot
 * be told apart, and it is `not-said`.
 */
export type Detected = 'detected' | 'not-detected' | 'not-looked-for' | 'not-said'

/** The pulse against the limits of the monitor. Both bits set is kept for later use, and `unknown`. */
export type PulseRange = 'in-range' | 'above' | 'below' | 'unknown' | 'not-looked-for' | 'not-said'

export interface MonitorStatus {
  readonly bodyMovement: Detected
  readonly cuffTooLoose: Detected
  readonly irregularPulse: Detected
  readonly pulseRange: PulseRange
  readonly improperPosition: Detected
}

/** What the Feature word says a monitor can do. Source: Bluetooth Blood Pressure Service 1.1.1, Blood Pressure Feature. */
export interface MonitorFeatures {
  readonly bodyMovement: boolean
  readonly cuffFit: boolean
  readonly irregularPulse: boolean
  readonly pulseRange: boolean
  readonly measurementPosition: boolean
  readonly multipleBonds: boolean
}

export function readFeatures(word: number): MonitorFeatures {
  const has = (bit: number) => (word & (1 << bit)) !== 0
  return {
    bodyMovement: has(0),
    cuffFit: has(1),
    irregularPulse: has(2),
    pulseRange: has(3),
    measurementPosition: has(4),
    multipleBonds: has(5),
  }
}

/** Bits of the status word that mean nothing yet; some makers use them. */
const RESERVED = 0xffc0

/**
 * Reads a status word: bit 0 body movement, 1 cuff too loose, 2 irregular pulse, 3 and 4 pulse range, 5 improper
 * position. Reserved bits are passed over with a remark.
 * Source: Bluetooth GATT Specification Supplement, Blood Pressure Measurement, measurement status.
 *
 * @param word undefined where the measurement has none.
 * @param features undefined where the Feature word did not come with the measurement.
 */
export function readStatus(
  word: number | undefined,
  features: MonitorFeatures | undefined,
  at: string,
): { readonly status: MonitorStatus; readonly remarks: DecodedRecord['remarks'] } {
  const detected = (bit: number, looks: boolean | undefined): Detected => {
    if (word !== undefined && (word & (1 << bit)) !== 0) return 'detected'
    if (looks === false) return 'not-looked-for'
    return word === undefined || looks === undefined ? 'not-said' : 'not-detected'
  }
  const status = {
    bodyMovement: detected(0, features?.bodyMovement),
    cuffTooLoose: detected(1, features?.cuffFit),
    irregularPulse: detected(2, features?.irregularPulse),
    pulseRange: pulseRange(word, features?.pulseRange),
    improperPosition: detected(5, features?.measurementPosition),
  }
  const reserved = word !== undefined && (word & RESERVED) !== 0
  return { status, remarks: reserved ? [RESERVED_STATUS(at)] : [] }
}

function pulseRange(word: number | undefined, looks: boolean | undefined): PulseRange {
  const range = word === undefined ? 0 : (word >> 3) & 3
  if (range === 1) return 'above'
  if (range === 2) return 'below'
  if (range === 3) return 'unknown'
  if (looks === false) return 'not-looked-for'
  return word === undefined || looks === undefined ? 'not-said' : 'in-range'
}

const RESERVED_STATUS = (at: string) =>
  remark(at, 'reserved bits of the status word to be 0', 'None needed: they were passed over.')
