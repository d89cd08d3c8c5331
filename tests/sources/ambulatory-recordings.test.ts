// CHEP 2017 guidelines, table on ambulatory monitoring: valid with at least 70 % of the readings, at least 20 by day and 7
// by night; 08:00 to 22:00 is the day without a diary.
// NICE guideline NG136 (2019, amended 2022 and 2023): the average of at least 14 measurements of the waking hours.
// KSH 2013, table 6: high from 130/80 over 24 hours, 135/85 by day, 120/70 by night.
// ACC/AHA 2017, corresponding values of clinic 130/80: 125/75 over 24 hours, 130/80 by day, 110/65 by night.
// HOPE Asia Network 2019, PMC8030405, table A5: night over day systolic above 1.0 riser, 0.9 to 1.0 non-dipper, 0.8 to 0.9
// dipper, below 0.8 extreme dipper; equality is left open. The common definition, from memory, settles it: from 20 %
// extreme, from 10 % dipper, from 0 % non-dipper.
import { describe, expect, it } from 'vitest'
import { averageRecording } from '../../src/core/clinical/ambulatory/average-recording.ts'
import type { Numbers } from '../support/home-sitting.ts'
import { shippedThresholdSets } from '../support/shipped-profiles.ts'
import { dayAndNight, recordingPlan, shippedRecordingRule } from '../support/worn-recording.ts'

const chep = shippedRecordingRule('chep-2017-recording')
const nice = shippedRecordingRule('nice-ng136-recording')
const BY_DAY: Numbers = [130, 80]
const BY_NIGHT: Numbers = [115, 65]

function validity(rule: typeof chep, day: number, night: number, attempts?: number) {
  const sittings = dayAndNight(
    { numbers: BY_DAY, times: day, ...(attempts === undefined ? {} : { attempts: attempts - night }) },
    { numbers: BY_NIGHT, times: night, ...(attempts === undefined ? {} : { attempts: night }) },
  )
  return averageRecording(recordingPlan(rule), sittings, []).validity
}

describe('a recording by CHEP 2017', () => {
  it('asks for 70 % of the attempts, 20 readings by day and 7 by night', () => {
    expect(chep.valid).toEqual({ leastShareOfAttempts: 0.7, leastDayReadings: 20, leastNightReadings: 7 })
    expect(chep.day).toEqual({ from: '08:00', to: '22:00' })
  })

  it.each([
    { readings: 69, enough: 'no', verdict: 'not-valid' },
    { readings: 70, enough: 'yes', verdict: 'valid' },
  ])('with $readings of 100 attempts is $verdict', ({ readings, enough, verdict }) => {
    expect(validity(chep, readings - 8, 8, 100)).toMatchObject({
      successful: readings,
      attempts: 100,
      enoughOfAttempts: enough,
      verdict,
    })
  })

  it.each([
    { day: 19, enoughDay: false, verdict: 'not-valid' },
    { day: 20, enoughDay: true, verdict: 'valid' },
  ])('with $day readings by day is $verdict', ({ day, enoughDay, verdict }) => {
    expect(validity(chep, day, 7, day + 7)).toMatchObject({
      dayReadings: day,
      enoughDay,
      enoughNight: true,
      verdict,
    })
  })

  it.each([
    { night: 6, enoughNight: false, verdict: 'not-valid' },
    { night: 7, enoughNight: true, verdict: 'valid' },
  ])('with $night readings by night is $verdict', ({ night, enoughNight, verdict }) => {
    expect(validity(chep, 20, night, 20 + night)).toMatchObject({
      nightReadings: night,
      enoughDay: true,
      enoughNight,
      verdict,
    })
  })

  it('is not known to be valid where nobody tells the attempts, however many readings there are', () => {
    expect(validity(chep, 60, 16)).toMatchObject({ enoughOfAttempts: 'not-told', verdict: 'not-known' })
  })
})

describe('a recording by NICE NG136', () => {
  it.each([
    { day: 13, verdict: 'not-valid' },
    { day: 14, verdict: 'valid' },
  ])('with $day waking readings is $verdict, whatever the night', ({ day, verdict }) => {
    expect(validity(nice, day, 2)).toMatchObject({ enoughOfAttempts: 'not-asked', verdict })
  })

  it('averages the waking readings alone', () => {
    const sittings = dayAndNight({ numbers: BY_DAY, times: 14 }, { numbers: BY_NIGHT, times: 7 })
    const { means, used, leftOut } = averageRecording(recordingPlan(nice), sittings, [])
    expect(means.map(({ span, mean }) => [span, mean.readings])).toEqual([['day', 14]])
    expect(used).toHaveLength(14)
    expect(leftOut.map(({ reason }) => reason)).toEqual(Array(7).fill('part-not-averaged'))
  })
})

describe('the fall from day to night', () => {
  it.each([
    { day: 100, night: 79.9, name: 'extreme dipper', percent: 20.1 },
    { day: 100, night: 80, name: 'extreme dipper', percent: 20 },
    { day: 100, night: 80.1, name: 'dipper', percent: 19.9 },
    { day: 135, night: 121.5, name: 'dipper', percent: 10 },
    { day: 100, night: 90, name: 'dipper', percent: 10 },
    { day: 100, night: 90.1, name: 'non-dipper', percent: 9.9 },
    { day: 100, night: 100, name: 'non-dipper', percent: 0 },
    { day: 100, night: 100.1, name: 'riser', percent: -0.1 },
  ])('from $day to $night is $name', ({ day, night, name, percent }) => {
    const sittings = dayAndNight({ numbers: [day, 70], times: 20 }, { numbers: [night, 60], times: 7 })
    const { dipping } = averageRecording(recordingPlan(chep), sittings, [])
    expect(dipping?.class).toBe(name)
    const { total, count } = dipping?.percent ?? { total: 0n, count: 1n }
    expect(total * 10n).toBe(BigInt(Math.round(percent * 10)) * count)
  })
})

describe('the labels', () => {
  const both = (at: string) => [`below ${at}`, `at or above ${at}`] as const
  const [below24, at24] = both('130/80')
  const [belowDay, atDay] = both('135/85')
  const [belowNight, atNight] = both('120/70')

  it.each<{ numbers: Numbers; labels: readonly [string, string, string] }>([
    { numbers: [119.9, 69.9], labels: [below24, belowDay, belowNight] },
    { numbers: [120, 69.9], labels: [below24, belowDay, atNight] },
    { numbers: [119.9, 70], labels: [below24, belowDay, atNight] },
    { numbers: [129.9, 79.9], labels: [below24, belowDay, atNight] },
    { numbers: [130, 60], labels: [at24, belowDay, atNight] },
    { numbers: [110, 80], labels: [at24, belowDay, atNight] },
    { numbers: [134.9, 84.9], labels: [at24, belowDay, atNight] },
    { numbers: [135, 60], labels: [at24, atDay, atNight] },
    { numbers: [110, 85], labels: [at24, atDay, atNight] },
  ])('of KSH 2013 for $numbers all along', ({ numbers, labels }) => {
    expect(labelsOf(chep, numbers)).toEqual([
      ['24-hours', 'ksh-2013-ambulatory-24-hours', labels[0]],
      ['day', 'ksh-2013-ambulatory-day', labels[1]],
      ['night', 'ksh-2013-ambulatory-night', labels[2]],
    ])
  })

  it.each<{ numbers: Numbers; reached: readonly [boolean, boolean, boolean] }>([
    { numbers: [109.9, 64.9], reached: [false, false, false] },
    { numbers: [110, 64.9], reached: [false, false, true] },
    { numbers: [100, 65], reached: [false, false, true] },
    { numbers: [124.9, 74.9], reached: [false, false, true] },
    { numbers: [125, 60], reached: [true, false, true] },
    { numbers: [100, 75], reached: [true, false, true] },
    { numbers: [129.9, 79.9], reached: [true, false, true] },
    { numbers: [130, 60], reached: [true, true, true] },
    { numbers: [100, 80], reached: [true, true, true] },
  ])('of ACC/AHA 2017 for $numbers all along', ({ numbers, reached }) => {
    const sets = ['24-hours', 'day', 'night'].map((span) => `acc-aha-2017-ambulatory-${span}`)
    const labels = labelsOf({ ...chep, thresholdSets: sets }, numbers)
    expect(labels.map(([, set]) => set)).toEqual(sets)
    expect(labels.map(([, , label]) => !label.startsWith('below'))).toEqual(reached)
  })

  it('leave a set for home out, which is drawn for no mean of a recording', () => {
    expect(labelsOf({ ...chep, thresholdSets: ['ksh-2013-home'] }, [150, 95])).toEqual([])
  })

  function labelsOf(rule: typeof chep, numbers: Numbers) {
    const sittings = dayAndNight({ numbers, times: 20 }, { numbers, times: 7 })
    const { labels } = averageRecording(recordingPlan(rule), sittings, shippedThresholdSets())
    return labels.map(({ span, thresholdSet, label }) => [span, thresholdSet, label] as const)
  }
})
