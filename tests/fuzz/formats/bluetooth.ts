import { canaryText } from '../canaries.ts'
import type { Chooser } from '../chooser.ts'
import { jsonTree } from '../json-tree.ts'
import type { FuzzFormat } from './fuzz-format.ts'
import { countReadings, type MadeReading, madeSittings } from './made-sittings.ts'

export const BLUETOOTH: FuzzFormat = {
  name: 'Bluetooth indications',
  mapping: 'bluetooth-blood-pressure',
  valid(random) {
    const sittings = madeSittings(random)
    const records = sittings.flatMap(({ subject, readings }) =>
      readings.map((reading) => indication(subject, reading, random)),
    )
    return { records: records.map(jsonTree), readings: countReadings(sittings) }
  },
}

/** An indication of 2A35 with time stamp, pulse, user and status, in the envelope of a phone app. */
function indication(subject: string, reading: MadeReading, random: Chooser): object {
  const octets = measurement(reading)
  const encoding = random.of(['hex', 'base64'] as const)
  return {
    characteristic: '2A35',
    value: octets.toString(encoding),
    encoding,
    subject,
    receivedAt: `${reading.time}+00:00`,
    monitorUser: 1,
    position: 'sitting',
    arm: 'left',
    site: 'upper-arm',
    ...(random.happens(0.3) ? { note: canaryText(random) } : {}),
  }
}

/** Flags, three SFLOATs with exponent 0, date and time, pulse, user 1, status 0. */
function measurement({ time, systolic, diastolic, pulse }: MadeReading): Buffer {
  const octets = Buffer.alloc(19)
  octets.writeUInt8(0x1e, 0)
  octets.writeUInt16LE(systolic, 1)
  octets.writeUInt16LE(diastolic, 3)
  octets.writeUInt16LE(Math.round((systolic + 2 * diastolic) / 3), 5)
  const [year = 0, month = 0, day = 0, hours = 0, minutes = 0, seconds = 0] = time.split(/[-T:]/).map(Number)
  octets.writeUInt16LE(year, 7)
  octets.set([month, day, hours, minutes, seconds], 9)
  octets.writeUInt16LE(pulse, 14)
  octets.writeUInt8(1, 16)
  return octets
}
