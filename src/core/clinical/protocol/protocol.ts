import { z } from 'zod'
import { citation, documentId, evidence, settledHere } from './document-parts.ts'
import { minuteOf } from './sitting-window.ts'

/**
 * A measurement protocol as data: how often to measure, what the rule leaves out, and how the rest is averaged.
 * One file each in `profiles/protocols/`, published ones with their citation. A clinic's own file works the same way.
 */

const localMinute = z
  .string()
  .regex(/^(?:[01]\d|2[0-3]):[0-5]\d$|^24:00$/, 'a wall-clock time from 00:00 to 24:00')
  .describe('Wall-clock time where the patient lives, 00:00 to 24:00')

const sittingWindow = z
  .strictObject({
    name: z.string().min(1).describe('morning, evening, or the protocol’s own word'),
    from: localMinute.describe('First minute of the window, inclusive'),
    to: localMinute.describe('End of the window, exclusive; a window does not reach past midnight'),
  })
  .refine((window) => minuteOf(window.from) < minuteOf(window.to), {
    path: ['to'],
    error: 'an end later than the window’s start, on the same day',
  })

const sittingWindows = z
  .array(sittingWindow)
  .min(1)
  .max(12)
  .refine((windows) => new Set(windows.map((window) => window.name)).size === windows.length, {
    error: 'windows with different names',
  })
  .refine(
    (windows) => {
      const inOrder = windows.toSorted((a, b) => minuteOf(a.from) - minuteOf(b.from))
      return inOrder.every((window, at) => {
        const next = inOrder[at + 1]
        return next === undefined || minuteOf(window.to) <= minuteOf(next.from)
      })
    },
    { error: 'windows that do not overlap' },
  )

const firstReading = z
  .union(
    [
      z.literal('keep'),
      z.literal('drop'),
      z.literal('drop-unless-alone'),
      z.strictObject({
        dropWhenHigherThanMeanOfOthersByMmHg: z
          .number()
          .positive()
          .max(100)
          .multipleOf(0.1)
          .describe(
            'Left out when its systolic is more than this above the mean of the others in the sitting',
          ),
      }),
    ],
    { error: '"keep", "drop", "drop-unless-alone" or { "dropWhenHigherThanMeanOfOthersByMmHg": a number }' },
  )
  .describe('What becomes of the first reading of each sitting')

const days = z
  .strictObject({ least: z.int().min(1).max(366), ideal: z.int().min(1).max(366) })
  .refine(({ least, ideal }) => least <= ideal, {
    path: ['ideal'],
    error: 'at least as many days as "least"',
  })

const readingsPerSitting = z
  .strictObject({ least: z.int().min(1).max(10), asked: z.int().min(1).max(10) })
  .refine(({ least, asked }) => least <= asked, { path: ['asked'], error: 'at least as many as "least"' })

const keepOrLeaveOut = z.enum(['keep', 'leave-out']).default('keep')

export const protocolDocument = z
  .strictObject({
    $schema: z.string().optional(),
    id: documentId,
    title: z.string().min(1),
    citation,
    evidence,
    settledHere,
    asks: z
      .array(z.string().min(1))
      .default([])
      .describe('What the source asks of the patient beside the schedule, each as a sentence'),
    readingsPerSitting: readingsPerSitting.describe(
      'Readings of one sitting: the fewest, and those asked for',
    ),
    gapSeconds: z.int().min(0).max(3600).describe('Least time between two readings of a sitting'),
    sittings: sittingWindows,
    days: days.describe('Days of measuring, those left out included'),
    leaveOut: z.strictObject({
      firstDays: z.int().min(0).max(30).describe('Days of measuring left out at the start'),
      partialFirstDay: z
        .enum(['is-the-first-day', 'comes-before-it'])
        .default('is-the-first-day')
        .describe(
          'Whether a first day that misses a sitting is the first of "firstDays", or is left out beside them',
        ),
      firstReading,
      extraReadings: keepOrLeaveOut.describe('Readings of a sitting beyond those asked for'),
      extraSittings: keepOrLeaveOut.describe('Sittings in a window of a day after the first'),
      standingOrLying: keepOrLeaveOut.describe(
        'Readings said to have been taken standing or lying; one whose position is not stated always counts',
      ),
      zeroDiastolic: z
        .enum(['keep', 'leave-out-beside-others'])
        .default('keep')
        .describe(
          'A diastolic of zero, as heard by ear: kept, or left out of the diastolic mean when the sitting has another',
        ),
    }),
    leastReadings: z
      .int()
      .min(1)
      .optional()
      .describe('Usable minimum of averaged readings; absent when the source states none'),
    pooling: z
      .enum(['all-readings', 'mean-of-sitting-means'])
      .describe('Whether each reading weighs the same, or each sitting'),
    windowsAveraged: z
      .enum(['together', 'apart'])
      .default('together')
      .describe('Whether one mean is labelled, or the mean of each window by itself'),
    thresholdSets: z
      .array(documentId)
      .describe('Ids of the threshold sets the mean is compared with; none when the source gives none'),
  })
  .refine((protocol) => protocol.leaveOut.firstDays < protocol.days.least, {
    path: ['leaveOut', 'firstDays'],
    error: 'fewer days than "days.least", or nothing is left to average',
  })
  .refine(
    (protocol) => protocol.leaveOut.firstReading === 'keep' || protocol.readingsPerSitting.asked !== 1,
    {
      path: ['leaveOut', 'firstReading'],
      error: '"keep" where a sitting has one reading',
    },
  )

export type Protocol = z.output<typeof protocolDocument>
