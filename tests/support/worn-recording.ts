import type { CheckedSession } from '../../src/core/clinical/averaging/period-average.ts'
import type { RecordingRule } from '../../src/core/clinical/protocol/recording-rule.ts'
import { homeSitting, type Numbers, type SittingParts } from './home-sitting.ts'
import { shippedRecordingRules } from './shipped-profiles.ts'

/** Readings of a worn recorder, half an hour apart unless told otherwise, on the left upper arm. */
export function worn(parts: SittingParts): CheckedSession {
  return homeSitting({ gapSeconds: 1800, setting: 'ambulatory', ...parts })
}

/** The same numbers again and again. */
export function repeated(numbers: Numbers, times: number): readonly Numbers[] {
  return Array.from({ length: times }, () => numbers)
}

/** A recording from 08:00 UTC on 4 March 2026: by day each ten minutes, by night from 22:00 each half hour. */
export function dayAndNight(
  day: { readonly numbers: Numbers; readonly times: number; readonly attempts?: number },
  night: { readonly numbers: Numbers; readonly times: number; readonly attempts?: number },
): readonly CheckedSession[] {
  const tried = ({ attempts }: { readonly attempts?: number }) => (attempts === undefined ? {} : { attempts })
  return [
    worn({
      at: '2026-03-04T08:00:00Z',
      gapSeconds: 600,
      readings: repeated(day.numbers, day.times),
      ...tried(day),
    }),
    worn({ at: '2026-03-04T22:00:00Z', readings: repeated(night.numbers, night.times), ...tried(night) }),
  ]
}

export function shippedRecordingRule(id: string): RecordingRule {
  const rule = shippedRecordingRules().find((one) => one.id === id)
  if (rule === undefined) throw new TypeError(`no such recording rule: ${id}`)
  return rule
}

/** A plan for the recordings of `dayAndNight`. */
export function recordingPlan(rule: RecordingRule, zone = 'UTC') {
  return { rule, zone, firstDay: '2026-03-04', lastDay: '2026-03-05' }
}
