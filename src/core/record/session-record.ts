import { z } from 'zod'
import { LONGEST_NAME } from '../basics/name.ts'
import { MICROPASCALS_PER_MMHG } from '../basics/pressure.ts'
import {
  DIASTOLIC_MMHG,
  type HardLimits,
  HEARD_TO_ZERO,
  PULSE_PER_MINUTE,
  SYSTOLIC_MMHG,
} from '../clinical/plausibility/hard-limits.ts'
import { conditions } from './conditions-record.ts'
import { flag, name, takenAt, text } from './record-fields.ts'

/** Readings one sitting may hold. A local choice: published protocols ask for one to three. */
const MOST_READINGS = 50

/** Readings one 24-hour recording may hold. A local choice: every 20 min for two days and nights are 144. */
const MOST_AMBULATORY_READINGS = 300

/** Inflations one 24-hour recording may have tried. A local choice: room for more failures than readings. */
const MOST_ATTEMPTS = 1000

/** How many readings a record of this setting may hold; the lesser number for a setting that does not exist. */
export function mostReadings(setting: unknown): number {
  return setting === 'ambulatory' ? MOST_AMBULATORY_READINGS : MOST_READINGS
}

/** Longest note, in UTF-16 units. */
const LONGEST_NOTE = 2000

const pressure = (which: string, limits: HardLimits, besides = '') =>
  z
    .number()
    .nullable()
    .describe(
      `${which} pressure in the record’s unit: ${limits.lowest} to ${limits.highest} mmHg in steps of 0.1, or ${inKPa(limits)} kPa in steps of 0.001; null when the monitor gave none${besides}`,
    )

/** The thousandths of a kPa that lie within limits given in mmHg: the lowest rounded up, the highest down. */
function inKPa({ lowest, highest }: HardLimits): string {
  const microPascalsPerStep = 1_000_000
  const first = Math.ceil((lowest * MICROPASCALS_PER_MMHG) / microPascalsPerStep) / 1000
  const last = Math.floor((highest * MICROPASCALS_PER_MMHG) / microPascalsPerStep) / 1000
  return `${first} to ${last}`
}

const monitorSays = z
  .strictObject({
    bodyMovement: flag('the monitor noticed body movement'),
    cuffTooLoose: flag('the monitor found the cuff too loose'),
    irregularPulse: flag('the monitor noticed an irregular pulse'),
    improperPosition: flag('the monitor noticed an improper position'),
  })
  .describe('an object with what the monitor itself reported; leave out what it does not look for')

const reading = z
  .strictObject({
    takenAt: takenAt('when this reading was taken').exactOptional(),
    systolic: pressure('systolic', SYSTOLIC_MMHG),
    diastolic: pressure(
      'diastolic',
      DIASTOLIC_MMHG,
      `; ${HEARD_TO_ZERO} with an upper-arm-manual device only, for sounds heard to zero`,
    ),
    pulse: z
      .int()
      .min(PULSE_PER_MINUTE.lowest)
      .max(PULSE_PER_MINUTE.highest)
      .describe(
        `pulse in beats per minute: a whole number from ${PULSE_PER_MINUTE.lowest} to ${PULSE_PER_MINUTE.highest}`,
      )
      .exactOptional(),
    monitorSays: monitorSays.exactOptional(),
  })
  .describe('an object with one inflation of the cuff')

const device = z
  .strictObject({
    manufacturer: text('manufacturer of the monitor', LONGEST_NAME),
    model: text('model of the monitor', LONGEST_NAME),
    serial: text('serial number of the monitor', LONGEST_NAME),
    kind: z
      .enum(['upper-arm-automatic', 'wrist-automatic', 'upper-arm-manual'])
      .describe('kind of monitor: upper-arm-automatic, wrist-automatic or upper-arm-manual')
      .exactOptional(),
  })
  .describe('an object with the monitor')

/**
 * The native session record: one sitting as a home app sends it, a closed object at every level.
 *
 * The schema holds what one field alone can tell. What two fields say together (unit and limits, systolic above
 * diastolic, a wall time and its zone, what goes with a 24-hour recording only) is checked by `readSession`. Lengths
 * count UTF-16 units.
 */
export const sessionRecord = z
  .strictObject({
    id: name('id of the sitting, unique within its source'),
    subject: name('the source’s own id for the person'),
    takenAt: takenAt('when the sitting took place'),
    timeFrom: z
      .enum(['receipt'])
      .describe(
        'receipt, when the monitor had no clock: every time in the record is when the app received the reading; left out otherwise',
      )
      .exactOptional(),
    setting: z
      .enum(['home', 'clinic', 'public-kiosk', 'ambulatory'])
      .describe('where it was measured: home, clinic, public-kiosk or ambulatory'),
    position: z
      .enum(['sitting', 'standing', 'lying', 'semi-recumbent'])
      .describe(
        'position of the body: sitting, standing, lying or semi-recumbent; left out when it is not known',
      )
      .exactOptional(),
    arm: z
      .enum(['left', 'right'])
      .describe('the arm that was measured: left or right; left out when it is not known')
      .exactOptional(),
    site: z
      .enum(['upper-arm', 'wrist'])
      .describe('where the cuff was: upper-arm or wrist; left out when it is not known')
      .exactOptional(),
    readings: z
      .array(reading)
      .min(1)
      .max(MOST_AMBULATORY_READINGS)
      .describe(
        `an array of 1 to ${MOST_READINGS} readings, or to ${MOST_AMBULATORY_READINGS} with setting ambulatory, in the order they were taken`,
      ),
    unit: z.enum(['mmHg', 'kPa']).describe('the unit of every pressure in the record: mmHg or kPa'),
    entry: z
      .enum(['transferred', 'typed'])
      .describe('how the numbers got into the app: transferred from the monitor, or typed'),
    conditions: conditions.exactOptional(),
    device: device.exactOptional(),
    note: text('a note by the person', LONGEST_NOTE),
    attempts: z
      .int()
      .min(1)
      .max(MOST_ATTEMPTS)
      .describe(
        `inflations the recorder tried: a whole number from the number of readings to ${MOST_ATTEMPTS}, with setting ambulatory only`,
      )
      .exactOptional(),
    sleep: z
      .strictObject({
        from: takenAt('when the person went to bed'),
        to: takenAt('when the person rose'),
      })
      .describe(
        'an object with the times of going to bed and rising, from before to, with setting ambulatory only',
      )
      .exactOptional(),
  })
  .describe('a JSON object: one session record')

export type SessionRecordInput = z.output<typeof sessionRecord>
export type ReadingInput = z.output<typeof reading>
