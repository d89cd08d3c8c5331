import type { Session } from '../session.ts'
import type { RecordingLeftOutReason, RecordingPlan } from './recording-average.ts'

/** Why a reading is left out of a recording, by which rule, as text for a person. Holds no measured value. */
export function recordingLeftOutText(
  reason: RecordingLeftOutReason,
  plan: RecordingPlan,
  { arm, site }: Session,
): string {
  const { rule } = plan
  switch (reason) {
    case 'withdrawn':
      return 'Taken back by its source.'
    case 'outside-period':
      return `Not taken on a day of the period, ${plan.firstDay} to ${plan.lastDay} in ${plan.zone}.`
    case 'other-setting':
      return 'Not taken by a recorder that was worn. Rule of this gateway: settings are never pooled.'
    case 'time-missing':
      return 'Its own time is missing, so whether it belongs to day or night is not known.'
    case 'pressure-missing':
      return 'Systolic or diastolic is missing. Rule of this gateway: both or neither count, so that each mean rests on the same readings.'
    case 'excluded-by-policy':
      return 'Left out by the clinic’s own policy for something noticed about it.'
    case 'other-site':
      return site === 'wrist'
        ? 'Taken at the wrist, and the recording is of the upper arm. Rule of this gateway: sites are never pooled.'
        : 'Taken on the upper arm, and the recording is of the wrist. Rule of this gateway: sites are never pooled.'
    case 'other-arm':
      return 'Taken on the other arm. Rule of this gateway: a recording is of one arm.'
    case 'site-not-stated':
      return site === undefined
        ? 'Its source did not state the site, which the readings of the recording do state. Rule of this gateway: sites are never pooled and never guessed.'
        : 'Its site is stated, and the readings of the recording do not state theirs. Rule of this gateway: sites are never pooled and never guessed.'
    case 'arm-not-stated':
      return arm === undefined
        ? 'Its source did not state the arm, which the readings of the recording do state. Rule of this gateway: a recording is of one arm, and arms are never guessed.'
        : 'Its arm is stated, and the readings of the recording do not state theirs. Rule of this gateway: a recording is of one arm, and arms are never guessed.'
    case 'outside-recording':
      return 'Taken 24 hours or more after the recording began. Rule of this gateway: each hour of the day counts once.'
    case 'same-reading-again':
      return 'The same moment and the same numbers as a reading that counts already.'
    case 'part-not-averaged':
      return `Not of the part of the day that is averaged. The rule "${rule.title}" averages ${rule.averaged.join(' and ')} only. Source: ${rule.citation.text}.`
  }
}
