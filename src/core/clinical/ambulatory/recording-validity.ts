import type { Session } from '../session.ts'
import type {
  RecordingLeftOutReason,
  RecordingPlan,
  RecordingReading,
  RecordingValidity,
} from './recording-average.ts'
import type { RecordingSelection } from './select-recording.ts'

/**
 * Whether there is enough of a recording, by its rule, each demand by itself.
 *
 * The share of attempts is judged only when every session of the recording tells its attempts; they are added up, and
 * compared with the complete readings of those sessions, those after the 24 hours included, because their attempts are too.
 * A session is of the recording when one of its inflations is, failed or not; what failed on another limb or day says
 * nothing about it. Otherwise the share is not told: attempts are never guessed from the times of the readings. Shares are
 * compared to a thousandth, as whole numbers.
 */
export function recordingValidity(
  { rule }: RecordingPlan,
  { used, leftOut, failed }: RecordingSelection,
): RecordingValidity {
  const { leastShareOfAttempts, leastDayReadings, leastNightReadings } = rule.valid
  const leftOutFor = (wanted: RecordingLeftOutReason) =>
    leftOut.filter(({ reason }) => reason === wanted).map(({ placed }) => placed)
  const counted = [...used, ...leftOutFor('part-not-averaged')]
  const sessions = new Set([...counted, ...failed].map(({ session }) => session))
  const late = leftOutFor('outside-recording').filter(({ session }) => sessions.has(session))
  const successful = counted.length + late.length
  const attempts = attemptsOf([...sessions])
  const dayReadings = of(counted, 'day')
  const nightReadings = of(counted, 'night')
  const judged = {
    enoughOfAttempts: enoughOfAttempts(successful, attempts, leastShareOfAttempts),
    enoughDay: leastDayReadings === undefined || dayReadings >= leastDayReadings,
    enoughNight: leastNightReadings === undefined || nightReadings >= leastNightReadings,
  } as const
  return {
    successful,
    ...(attempts === undefined ? {} : { attempts }),
    ...(leastShareOfAttempts === undefined ? {} : { leastShareOfAttempts }),
    dayReadings,
    ...(leastDayReadings === undefined ? {} : { leastDayReadings }),
    nightReadings,
    ...(leastNightReadings === undefined ? {} : { leastNightReadings }),
    ...judged,
    verdict: used.length === 0 ? 'not-valid' : verdict(judged),
  }
}

function attemptsOf(sessions: readonly Session[]): number | undefined {
  let sum: number | undefined
  for (const { attempts } of sessions) {
    if (attempts === undefined) return undefined
    sum = (sum ?? 0) + attempts
  }
  return sum
}

function of(readings: readonly RecordingReading[], part: RecordingReading['part']): number {
  return readings.filter((one) => one.part === part).length
}

function enoughOfAttempts(
  successful: number,
  attempts: number | undefined,
  least: number | undefined,
): RecordingValidity['enoughOfAttempts'] {
  if (least === undefined) return 'not-asked'
  if (attempts === undefined) return 'not-told'
  return successful * 1000 >= Math.round(least * 1000) * attempts ? 'yes' : 'no'
}

function verdict({
  enoughOfAttempts,
  enoughDay,
  enoughNight,
}: Pick<RecordingValidity, 'enoughOfAttempts' | 'enoughDay' | 'enoughNight'>): RecordingValidity['verdict'] {
  if (enoughOfAttempts === 'no' || !enoughDay || !enoughNight) return 'not-valid'
  return enoughOfAttempts === 'not-told' ? 'not-known' : 'valid'
}
