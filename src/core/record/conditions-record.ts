import { z } from 'zod'
import { amount, flag } from './record-fields.ts'

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

/** How a person measured, as a record says it; every answer is optional. */
export const conditions = z
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
