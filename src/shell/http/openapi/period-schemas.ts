import { PERIOD_STATES } from '../../../core/registry/period.ts'
import {
  allOf,
  count,
  day,
  described,
  flag,
  list,
  moment,
  number,
  object,
  ref,
  text,
  uuid,
} from './schema-words.ts'

const period = {
  id: described(
    uuid,
    'UUIDv5 of source, subject, protocol and first day, and of how many such were withdrawn before',
  ),
  source: text,
  subject: text,
  protocol: text,
  firstDay: day,
  lastDay: day,
  arm: { enum: ['left', 'right'] },
  state: { enum: PERIOD_STATES },
  revision: described(count, 'Averages issued so far'),
  due: described(
    moment,
    'When it is closed by itself: after its last local day and the grace for late uploads',
  ),
}

const issued = {
  revision: described(
    { type: 'integer', minimum: 1 },
    '1 for the first; one more for each that follows or takes back',
  ),
  destination: described(
    text,
    'For which destination it was issued: a person may be linked to another by now',
  ),
  issued: moment,
  status: { enum: ['final', 'amended', 'entered-in-error'] },
  previous: described(text, 'Path of the average before it for that destination; absent for the first'),
  successor: described(text, 'Path of the average that amends it; absent for the newest'),
}
const ENDS = ['previous', 'successor']

const sweptMean = { systolicMmHg: number, diastolicMmHg: number, readings: count }

const linked = list(
  object({ source: text, subject: text }),
  'The other enrolments of a person who has several: what came through them is averaged too',
)

const open = { type: 'object' }

/** Periods, their averages, and the same readings under every protocol. */
export const periodSchemas = {
  Protocol: object({
    id: text,
    title: text,
    averages: described({ enum: ['home', '24-hour'] }, 'Readings taken at home, or a recording of 24 hours'),
    evidence: described(
      { enum: ['read', 'reported', 'memory', 'derived', 'common-practice'] },
      'How far its source was read',
    ),
    citation: object({ text, url: { type: 'string', format: 'uri' } }, { optional: ['url'] }),
  }),
  ProtocolList: allOf('Protocol'),
  Period: object(period, { optional: ['arm'] }),
  ClosedPeriod: object(
    {
      ...period,
      closedNow: described(flag, 'False when it had been closed before'),
      issuedNow: described(flag, 'False when nothing of substance changed since the last average'),
    },
    { optional: ['arm'] },
  ),
  WithdrawnPeriod: object(
    {
      ...period,
      withdrawnNow: described(flag, 'False when it had been withdrawn before'),
      queued: described(count, 'Clinics that are told that their average stands for nothing'),
    },
    { optional: ['arm'] },
  ),
  PeriodPage: object({ items: list(ref('Period')), next: text }, { optional: ['next'] }),
  Issued: object(issued, { optional: ENDS }),
  IssuedList: object({ items: list(ref('Issued')) }),
  RoundedMean: object(
    {
      systolicMmHg: number,
      diastolicMmHg: number,
      meanArterialMmHg: described(number, 'Computed from the unrounded means, not measured'),
      pulsePerMinute: number,
      readings: count,
      diastolicReadings: described(count, 'Absent when it is all of them'),
    },
    {
      optional: ['pulsePerMinute', 'diastolicReadings'],
      description: 'Each number rounded once, half away from zero',
    },
  ),
  Label: object(
    {
      thresholdSet: text,
      title: text,
      label: text,
      window: described(text, 'Under a protocol that averages windows apart'),
    },
    { optional: ['window'], description: 'By the unrounded mean, naming its threshold set' },
  ),
  Average: {
    type: 'object',
    description:
      'An average as people read it, with its place among those of its period: the numbers, their labels, what was left ' +
      'out and why. Of a 24-hour recording the keys are those of its rule.',
    required: ['revision', 'issued', 'status', 'period', 'readings', 'caution'],
    properties: {
      ...issued,
      protocol: described(open, 'The rule, its source, and what the rule leaves open and was settled here'),
      period: object({ firstDay: day, lastDay: day, zone: text }),
      decimals: described({ enum: [0, 1] }, 'Digits after the point of every mean'),
      mean: ref('RoundedMean'),
      readings: object(
        {
          used: count,
          received: count,
          enrolments: described(
            { type: 'integer', minimum: 2 },
            'Enrolments of this patient whose readings are averaged together; absent when it is one',
          ),
        },
        { optional: ['enrolments'] },
      ),
      leftOut: list(open, 'Each reading that was received and not averaged, with its reason'),
      labels: list(ref('Label')),
      caution: text,
    },
    additionalProperties: true,
  },
  Comparison: object({
    period: object(
      { id: uuid, protocol: text, firstDay: day, lastDay: day, zone: text, arm: text },
      { optional: ['arm'] },
    ),
    decimals: { enum: [0, 1] },
    rows: list(
      object(
        {
          protocol: text,
          title: text,
          evidence: text,
          mean: described(ref('RoundedMean'), 'Absent when no reading counts'),
          used: count,
          received: count,
          daysUsed: count,
          labels: list(ref('Label')),
          leftOut: list(object({ reason: text, readings: count })),
          sufficiency: open,
        },
        { optional: ['mean'] },
      ),
    ),
    bySet: list(
      object({
        thresholdSet: text,
        title: text,
        labels: list(object({ protocol: text, label: text })),
        moves: described(flag, 'Whether the rule, and not the patient, moves the label'),
      }),
    ),
    caution: text,
  }),
  SweptAverage: {
    description:
      'A person, or in the last line the summary; a code in place of the numbers, or why it broke off',
    oneOf: [
      object(
        {
          source: text,
          subject: text,
          received: described(count, 'Readings received for the days'),
          used: count,
          days: described(count, 'Local days with a reading that counts'),
          mean: described(object(sweptMean), 'Absent when no reading counts'),
          byWindow: list(object({ window: text, ...sweptMean })),
          linked,
        },
        { optional: ['mean', 'linked'] },
      ),
      object({ source: text, subject: text, linked, problem: ref('Code') }, { optional: ['linked'] }),
      object({
        summary: object({ people: count, linked: described(count, 'Of them with several enrolments') }),
      }),
      object({ problem: ref('Problem') }),
    ],
  },
}
