import type { PlausibilityCode, TechniqueCode } from '../../clinical/finding.ts'
import type { Concepts } from './own-concepts.ts'

/** What is noticed about how a reading was taken. Limits, sizes and sources stand with each finding, not here. */
export const TECHNIQUE_CONCEPTS: Concepts<TechniqueCode> = {
  'rest-too-short': ['Rest too short', 'Less rest before measuring than guidance asks for.'],
  'back-unsupported': ['Back unsupported', 'Measured without support for the back.'],
  'feet-not-flat': ['Feet not flat', 'Measured without both feet flat on the floor.'],
  'legs-crossed': ['Legs crossed', 'Measured with crossed legs.'],
  'arm-unsupported': ['Arm unsupported', 'Measured without support for the arm with the cuff.'],
  'cuff-below-heart': ['Cuff below the heart', 'The cuff’s middle was below the heart.'],
  'cuff-above-heart': ['Cuff above the heart', 'The cuff’s middle was above the heart.'],
  'cuff-over-clothing': ['Cuff over clothing', 'The cuff was wrapped over a sleeve.'],
  'cuff-too-small': ['Cuff too small', 'The cuff is made for a thinner arm.'],
  'cuff-too-large': ['Cuff too large', 'The cuff is made for a thicker arm.'],
  'cuff-edge-off': [
    'Cuff edge misplaced',
    'The cuff’s lower edge was not where guidance places it above the elbow.',
  ],
  'cuff-fit-off': ['Cuff too tight or too loose', 'The cuff was tighter or looser than guidance asks for.'],
  talking: ['Talking', 'Somebody talked while the reading was taken.'],
  moving: ['Moving', 'The person moved while the reading was taken.'],
  'bladder-full': ['Full bladder', 'Measured with a full bladder.'],
  pain: ['Pain', 'Measured while in pain.'],
  'cold-exposure': ['Cold', 'Measured in the cold or soon after it.'],
  'caffeine-recent': ['Recent caffeine', 'Measured soon after caffeine.'],
  'nicotine-recent': ['Recent nicotine', 'Measured soon after nicotine.'],
  'alcohol-recent': ['Recent alcohol', 'Measured soon after alcohol.'],
  'exercise-recent': ['Recent exercise', 'Measured soon after exercise.'],
  'meal-recent': ['Recent meal', 'Measured soon after a meal.'],
  'after-medication': ['After medication', 'Measured after the medication of the time of day was taken.'],
  'not-seated': ['Not seated', 'Not measured while sitting.'],
  'wrist-site': ['At the wrist', 'Measured at the wrist instead of the upper arm.'],
  'clinic-setting': ['Not at home', 'Measured in a clinic or at a public kiosk.'],
  'gap-too-short': ['Gap too short', 'Taken sooner after the reading before it than guidance asks for.'],
  'monitor-body-movement': ['Monitor: movement', 'The monitor reported movement of the body.'],
  'monitor-cuff-too-loose': ['Monitor: cuff too loose', 'The monitor reported a cuff that was too loose.'],
  'monitor-irregular-pulse': ['Monitor: irregular pulse', 'The monitor reported an irregular pulse.'],
  'monitor-improper-position': [
    'Monitor: wrong position',
    'The monitor reported a wrong position of the body.',
  ],
}

/** What makes it doubtful that a reading is true. */
export const PLAUSIBILITY_CONCEPTS: Concepts<PlausibilityCode> = {
  'pressure-missing': ['A pressure is missing', 'The monitor gave no systolic or no diastolic pressure.'],
  'systolic-doubtful': ['Systolic doubtful', 'The systolic pressure is outside the plausible range.'],
  'diastolic-doubtful': ['Diastolic doubtful', 'The diastolic pressure is outside the plausible range.'],
  'diastolic-zero': ['Diastolic of zero', 'The sounds were heard until the cuff was empty.'],
  'not-whole-mmhg': [
    'Not whole mmHg',
    'The reading came with a fraction of a mmHg, so it may be a computed value.',
  ],
  'pulse-pressure-doubtful': [
    'Pulse pressure doubtful',
    'The difference between systolic and diastolic is outside the plausible range.',
  ],
  'pulse-doubtful': ['Pulse doubtful', 'The pulse is outside the plausible range.'],
  'time-in-future': ['Time in the future', 'The reading claims a time after it was received.'],
  'time-of-receipt': [
    'Time of receipt',
    'The monitor had no clock: the time of the reading is when the app received it.',
  ],
  'readings-out-of-order': [
    'Readings out of order',
    'The readings of the sitting do not follow each other in time.',
  ],
}
