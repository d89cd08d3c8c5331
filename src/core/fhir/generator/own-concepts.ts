import type { RecordingLeftOutReason } from '../../clinical/ambulatory/recording-average.ts'
import type { InterArm, LeftOutReason } from '../../clinical/averaging/period-average.ts'
import type { AttentionCode } from '../../clinical/finding.ts'
import type { Setting } from '../../clinical/session.ts'

/** What a code of ours is called and what it means. A concept is added, never changed or removed. */
export type Concepts<C extends string = string> = Readonly<
  Record<C, readonly [display: string, definition: string]>
>

/** Means of a recording that no LOINC code was found for. */
export const MEAN_CONCEPTS = {
  'day-mean': [
    'Blood pressure day mean of a 24-hour recording',
    'Mean of the readings that a worn recorder took by day: while the patient was awake by a diary, or in the fixed hours of the rule that the Observation names. Its components are the systolic and the diastolic mean.',
  ],
  'night-mean': [
    'Blood pressure night mean of a 24-hour recording',
    'Mean of the readings that a worn recorder took by night: while the patient was asleep by a diary, or outside the fixed hours of day of the rule that the Observation names. Its components are the systolic and the diastolic mean.',
  ],
} as const satisfies Concepts

/** What calls for attention, and the category of all calls. */
export const ATTENTION_CONCEPTS: Concepts<'attention' | AttentionCode> = {
  attention: [
    'Call for attention',
    'Something in home readings that a clinic may want to see ahead of their average. The category of such Observations. It is no diagnosis, and its limits are those of the clinic that receives it.',
  ],
  'very-high': ['Very high reading', 'A reading at or above the clinic’s limit, in either number.'],
  'very-low': ['Very low reading', 'A reading below the clinic’s limit, in either number.'],
  'irregular-pulse-repeated': [
    'Irregular pulse reported repeatedly',
    'The monitor marked readings of several sittings as taken with an irregular pulse.',
  ],
  'arms-differ': [
    'Arms differ',
    'Sittings on one arm and on the other, close to each other, differ by more than the clinic’s limit.',
  ],
  'fall-on-standing': [
    'Fall on standing up',
    'A standing sitting soon after one that sat or lay is lower by at least the clinic’s limit.',
  ],
}

/** Why a reading is left out of an average or of the mean of a recording. */
export const LEFT_OUT_CONCEPTS: Concepts<LeftOutReason | RecordingLeftOutReason> = {
  withdrawn: ['Taken back by the source', 'Left out of an average: the source took its session back.'],
  'outside-period': ['Outside the period', 'Left out of an average: not taken on a local day of its period.'],
  'other-setting': [
    'Other setting',
    'Left out of an average: not taken in the setting it is made for, home for an average of home readings and a worn recorder for one of a recording.',
  ],
  'pressure-missing': ['A pressure is missing', 'Left out of an average: systolic or diastolic is missing.'],
  'same-reading-again': [
    'Same reading again',
    'Left out of an average: the same reading stands in another session, sent again by its source or through another one.',
  ],
  'excluded-by-policy': [
    'Left out by the clinic’s policy',
    'Left out of an average: the clinic leaves out readings with a finding that this one has.',
  ],
  'other-position': [
    'Other position',
    'Left out of an average: said to have been taken standing or lying, where its protocol is for people who sit.',
  ],
  'other-site': [
    'Other site',
    'Left out of an average: taken at the wrist while there are readings of the upper arm, or the other way round. Sites are never pooled.',
  ],
  'other-arm': ['Other arm', 'Left out of an average: taken on the other arm. Arms are never pooled.'],
  'site-not-stated': [
    'Site not stated',
    'Left out of an average: its source did not state the site while the readings averaged state theirs, or the other way round. Sites are never pooled and never guessed.',
  ],
  'arm-not-stated': [
    'Arm not stated',
    'Left out of an average: its source did not state the arm while the readings averaged state theirs or the plan names one, or the other way round. Arms are never pooled and never guessed.',
  ],
  'outside-window': [
    'Outside the hours of measuring',
    'Left out of an average: in none of the windows of its protocol.',
  ],
  'first-day': [
    'First days of measuring',
    'Left out of an average: taken on the first days, which its protocol leaves out.',
  ],
  'extra-sitting': [
    'Further sitting in the same window',
    'Left out of an average: its protocol counts one sitting in each window of a day.',
  ],
  'extra-reading': [
    'Further reading of a sitting',
    'Left out of an average: beyond the readings its protocol asks for in a sitting.',
  ],
  'first-reading': [
    'First reading of a sitting',
    'Left out of an average: the first reading of its sitting, which its protocol leaves out.',
  ],
  'time-missing': [
    'Time of its own is missing',
    'A reading of a 24-hour recording without a time of its own, left out because it cannot be placed in day or night.',
  ],
  'outside-recording': [
    'After the 24 hours',
    'A reading taken 24 hours or more after a recording began, left out so that each hour of the day counts once.',
  ],
  'part-not-averaged': [
    'Of a part that is not averaged',
    'A reading of a 24-hour recording from a part of the day that the rule does not average.',
  ],
}

/** Where a reading was taken. */
export const SETTING_CONCEPTS: Concepts<Setting> = {
  home: ['Home', 'Measured at home.'],
  clinic: ['Clinic', 'Measured in a clinic or practice.'],
  'public-kiosk': ['Public kiosk', 'Measured with a monitor in a public place, such as a pharmacy.'],
  ambulatory: ['Ambulatory', 'Measured by a worn monitor through the day and the night.'],
}

/** Sides of the body, as a plan, a difference between the arms and a session name them. */
export const ARM_CONCEPTS: Concepts<InterArm['higherArm']> = {
  left: ['Left', 'The left arm or wrist.'],
  right: ['Right', 'The right arm or wrist.'],
  neither: ['Neither', 'Neither arm is higher than the other.'],
}

/** What a difference between the arms rests on. */
export const BASIS_CONCEPTS: Concepts<InterArm['basis']> = {
  paired: [
    'Paired',
    'The mean of the differences within pairs of sittings, one on each arm in the same window of a day.',
  ],
  unpaired: ['Unpaired', 'The difference of the means of the two arms, because no such pair exists.'],
}
