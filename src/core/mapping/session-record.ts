import { z } from 'zod'
import { MICROPASCALS_PER_MMHG } from '../basics/pressure.ts'
import {
  DIASTOLIC_MMHG,
  type HardLimits,
  HEARD_TO_ZERO,
  PULSE_PER_MINUTE,
  SYSTOLIC_MMHG,
} from './hard-limits.ts'
import { FIRST_YEAR, LAST_YEAR } from './taken-at.ts'

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

const LONGEST_NAME = 200
const LONGEST_NOTE = 2000

/** Too long a text is not matched with its pattern: on tens of megabytes the matcher runs out of stack. */
const BEFORE_PATTERN = { abort: true } as const

/**
 * No control characters, no unpaired surrogates (two of them would become the same UTF-8 bytes, and so the same
 * id), and no white space at either end, which FHIR servers strip from an identifier when they search by it.
 */
const NAME = /^(?!\s)[^\p{Cc}\p{Cs}]+(?<!\s)$/u

/** Free text as an R4 string allows it: no control characters but tab, line feed and carriage return. */
const TEXT = /^(?:[^\p{Cc}\p{Cs}]|[\t\n\r])+$/u

/*
 * Each description is a clause that completes "expected …": the published JSON Schema and the issues of a refused
 * record are made from the same words.
 */

const name = (whose: string) =>
  z
    .string()
    .max(LONGEST_NAME, BEFORE_PATTERN)
    .regex(NAME)
    .describe(
      `${whose}: text of 1 to ${LONGEST_NAME} characters without control characters or white space at either end`,
    )

const text = (what: string, longest: number) =>
  z
    .string()
    .max(longest, BEFORE_PATTERN)
    .regex(TEXT)
    .describe(`${what}: text of 1 to ${longest} characters`)
    .exactOptional()

const takenAt = (what: string) =>
  z
    .string()
    .describe(
      `${what}: a time from ${FIRST_YEAR} to ${LAST_YEAR} with seconds and offset, such as 2026-03-02T06:41:00-07:00; the offset may be left out when the subject is enrolled with a time zone`,
    )
    .meta({ pattern: String.raw`^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:(?:\.\d{1,9})?(?:Z|[+-]\d\d:\d\d))?$` })

const flag = (what: string) => z.boolean().describe(`true or false: whether ${what}`).exactOptional()

const amount = (what: string, lowest: number, highest: number) =>
  z.number().min(lowest).max(highest).describe(`${what}: a number from ${lowest} to ${highest}`)

/** A year: later than that, the question was not answered about this sitting. */
const MOST_MINUTES_SINCE = 525_600

const minutesSince = (what: string) =>
  z
    .number()
    .min(0)
    .max(MOST_MINUTES_SINCE)
    .nullable()
    .describe(`minutes since ${what}: a number from 0 to ${MOST_MINUTES_SINCE}, or null for not today`)
    .exactOptional()

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

const conditions = z
  .strictObject({
    restMinutes: amount('minutes of quiet rest before the first reading', 0, 1440).exactOptional(),
    backSupported: flag('the back was supported'),
    feetFlat: flag('both feet were flat on the floor'),
    legsCrossed: flag('the legs were crossed'),
    armSupported: flag('the arm with the cuff was supported'),
    armRest: z
      .enum(['surface', 'lap', 'hanging'])
      .describe('where the arm with the cuff lay: surface, lap or hanging')
      .exactOptional(),
    cuffHeight: z
      .strictObject({
        relativeToHeartCm: amount(
          'centimetres of the cuff’s middle above the heart, minus for below',
          -100,
          100,
        ),
      })
      .describe('an object with the height of the cuff')
      .exactOptional(),
    cuffOver: z
      .enum(['bare-arm', 'thin-sleeve', 'thick-sleeve'])
      .describe('what the cuff was wrapped over: bare-arm, thin-sleeve or thick-sleeve')
      .exactOptional(),
    cuffFor: z
      .strictObject({
        minCm: amount('least arm circumference in centimetres', 5, 100),
        maxCm: amount('greatest arm circumference in centimetres', 5, 100),
      })
      .describe(
        'an object with the arm circumferences the cuff is made for, as its label says, minCm below maxCm',
      )
      .exactOptional(),
    cuffEdgeAboveElbowCm: amount(
      'centimetres of the cuff’s lower edge above the elbow crease, minus for below',
      -20,
      40,
    ).exactOptional(),
    fingersUnderCuff: amount('fingers that fitted under the cuff', 0, 10).exactOptional(),
    talking: flag('the person talked'),
    moving: flag('the person moved'),
    bladderFull: flag('the bladder was full'),
    pain: flag('the person was in pain'),
    cold: flag('the room or the person was cold'),
    minutesSince: z
      .strictObject({
        caffeine: minutesSince('caffeine'),
        nicotine: minutesSince('nicotine'),
        alcohol: minutesSince('alcohol'),
        exercise: minutesSince('exercise'),
        meal: minutesSince('a meal'),
      })
      .describe('an object with minutes since what can move blood pressure')
      .exactOptional(),
    medication: z
      .enum(['before', 'after'])
      .describe('measured before or after the day’s pressure medicine: before or after')
      .exactOptional(),
  })
  .describe('an object with how the person measured; leave out what was not asked')

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
    setting: z
      .enum(['home', 'clinic', 'public-kiosk', 'ambulatory'])
      .describe('where it was measured: home, clinic, public-kiosk or ambulatory'),
    position: z
      .enum(['sitting', 'standing', 'lying', 'semi-recumbent'])
      .describe('position of the body: sitting, standing, lying or semi-recumbent'),
    arm: z.enum(['left', 'right']).describe('the arm that was measured: left or right'),
    site: z.enum(['upper-arm', 'wrist']).describe('where the cuff was: upper-arm or wrist'),
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
