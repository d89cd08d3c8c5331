// NHANES 2001-2002, National Center for Health Statistics, code book BPX_B: how the average of one sitting is made. One
// reading is the average; of more than one the first is excluded; of two the second is the average; where every
// diastolic is zero the average is zero, and a zero beside another is left out of the diastolic average. The rows are
// NHANES 2009-2012 public-use readings as redistributed in a public data package, with that package's own averages; they
// were not compared with the file of the source. The package averages a zero in, against the rule; such a row says so.
import { describe, expect, it } from 'vitest'
import { roundedMmHg } from '../../src/core/basics/exact-mean.ts'
import { issueText } from '../../src/core/basics/issue.ts'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import { readProtocol } from '../../src/core/clinical/protocol/read-protocol.ts'
import { homeSitting, type Numbers } from '../support/home-sitting.ts'

const document = {
  id: 'nhanes-sitting-average',
  title: 'NHANES 2001-2002 average of one sitting',
  citation: { text: 'NHANES 2001-2002, code book BPX_B, average systolic and diastolic blood pressure' },
  evidence: 'read',
  readingsPerSitting: { least: 1, asked: 4 },
  gapSeconds: 30,
  sittings: [{ name: 'examination', from: '00:00', to: '24:00' }],
  days: { least: 1, ideal: 1 },
  leaveOut: {
    firstDays: 0,
    firstReading: 'drop-unless-alone',
    zeroDiastolic: 'leave-out-beside-others',
  },
  pooling: 'mean-of-sitting-means',
  thresholdSets: [],
}

/** A reading that was not obtained: its place in the sitting stays empty. */
const NONE = 'none'

describe('the NHANES average of one sitting', () => {
  it.each<{ seqn: number; readings: readonly (Numbers | typeof NONE)[]; average: [number, number] }>([
    {
      seqn: 51624,
      readings: [
        [114, 88],
        [114, 88],
        [112, 82],
      ],
      average: [113, 85],
    },
    {
      seqn: 51628,
      readings: [
        [154, 70],
        [150, 68],
        [150, 68],
      ],
      average: [150, 68],
    },
    {
      seqn: 51630,
      readings: [
        [118, 82],
        [108, 74],
        [116, 76],
      ],
      average: [112, 75],
    },
    {
      seqn: 51635,
      readings: [
        [126, 62],
        [124, 62],
        [118, 58],
      ],
      average: [121, 60],
    },
    { seqn: 51677, readings: [[126, 80], [128, 74], NONE], average: [128, 74] },
    { seqn: 51742, readings: [[110, 62], NONE, [104, 70]], average: [104, 70] },
    { seqn: 51651, readings: [NONE, [90, 74], [96, 66]], average: [93, 70] },
    { seqn: 51643, readings: [NONE, [116, 100], NONE], average: [116, 100] },
    {
      seqn: 51824,
      readings: [
        [104, 0],
        [96, 28],
        [100, 30],
      ],
      average: [98, 29],
    },
    {
      seqn: 51711,
      readings: [
        [144, 0],
        [150, 0],
        [150, 0],
      ],
      average: [150, 0],
    },
  ])('of person $seqn is $average', ({ readings, average }) => {
    expect(averageOf(readings)).toEqual(average)
  })

  it('of person 51673 is 95/60 by the rule, where the redistributed data say 95/30: a zero was averaged in', () => {
    const readings: readonly Numbers[] = [
      [96, 62],
      [92, 0],
      [98, 60],
    ]
    expect(averageOf(readings)).toEqual([95, 60])
    const averagedIn = { ...document, leaveOut: { ...document.leaveOut, zeroDiastolic: 'keep' } }
    expect(averageOf(readings, averagedIn)).toEqual([95, 30])
  })

  it('of one reading is that reading, though it is the first', () => {
    expect(averageOf([[122, 78]])).toEqual([122, 78])
  })

  it('of person 51624 would be 113.3/86.0 if all three counted, and 114.0/77.3 of person 51630', () => {
    const all = { ...document, leaveOut: { ...document.leaveOut, firstReading: 'keep' } }
    expect(
      averageOf(
        [
          [114, 88],
          [114, 88],
          [112, 82],
        ],
        all,
      ),
    ).toEqual([113.3, 86])
    expect(
      averageOf(
        [
          [118, 82],
          [108, 74],
          [116, 76],
        ],
        all,
      ),
    ).toEqual([114, 77.3])
  })
})

/** In mmHg, to one decimal. */
function averageOf(readings: readonly (Numbers | typeof NONE)[], rule: object = document) {
  const { session, findings } = homeSitting({
    at: '2010-03-02T10:00:00Z',
    readings: readings.map((one) => (one === NONE ? [null, null] : one)),
  })
  const obtained = session.readings.filter(({ systolic }) => systolic !== null)
  const { mean } = averagePeriod(
    { protocol: protocolOf(rule), zone: 'UTC', firstDay: '2010-03-02', lastDay: '2010-03-02' },
    [{ session: { ...session, readings: obtained }, findings }],
    [],
  )
  return [mean?.systolic, mean?.diastolic].map((one) => one && roundedMmHg(one, 1))
}

function protocolOf(json: object): Protocol {
  const read = readProtocol(json)
  if (!read.ok) throw new TypeError(read.issues.map(issueText).join('\n'))
  return read.value
}
