import type { CitationId } from '../citations.ts'
import type { Direction, EffectSize, Finding, TechniqueCode } from '../finding.ts'

/** What is published about one departure from good technique. Figures are means over groups, in mmHg, signed. */
export interface Effect {
  readonly severity: Finding['severity']
  readonly direction: Direction
  readonly size?: EffectSize
  /** What else a reader must know of the figures: other trials, disagreements, what was not studied. */
  readonly note?: string
  /** The figure people use by habit, where it differs from the published one. */
  readonly commonPractice?: string
  readonly citation: CitationId
  readonly alsoCites?: readonly CitationId[]
}

/**
 * Direction and size of each technique error. The ranges run from the lowest to the highest significant mean effect
 * of the systematic review (Kallioinen 2017, effect table) unless the citation says otherwise.
 *
 * `warning`: a published effect, or a rule of a guideline that was read. `information`: no effect found, or advice
 * that sources state differently.
 */
export const EFFECTS: Readonly<Record<TechniqueCode, Effect>> = {
  'rest-too-short': {
    severity: 'warning',
    direction: 'reads-high',
    size: { systolic: [4.2, 11.6], diastolic: [1.8, 4.3] },
    note: 'the figures are for no rest at all',
    citation: 'acc-aha-2017',
    alsoCites: ['kallioinen-2017'],
  },
  'back-unsupported': {
    severity: 'warning',
    direction: 'reads-high',
    size: { diastolic: [6.5, 6.5] },
    note: 'one study, with no significant effect on systolic',
    citation: 'kallioinen-2017',
  },
  'feet-not-flat': {
    severity: 'information',
    direction: 'reads-high',
    note: 'not studied alone; back and feet together are quoted with 5 to 15 mmHg',
    citation: 'handler-2009',
  },
  'legs-crossed': {
    severity: 'warning',
    direction: 'reads-high',
    size: { systolic: [2.5, 14.9], diastolic: [1.4, 10.8] },
    note: 'one of the trials found +10 systolic and +8 diastolic',
    citation: 'kallioinen-2017',
    alsoCites: ['pinar-2010'],
  },
  'arm-unsupported': {
    severity: 'warning',
    direction: 'reads-high',
    size: { systolic: [3.9, 6.5], diastolic: [4, 4.4] },
    note: 'from a hand on the lap to an arm hanging at the side',
    citation: 'arms-2024',
  },
  // The size of the two below depends on the reported height: see `hydrostatic-column.ts`.
  'cuff-below-heart': {
    severity: 'warning',
    direction: 'reads-high',
    note: 'trials of an arm below the heart found +3.7 to +23 mmHg systolic and +2.8 to +12 mmHg diastolic',
    citation: 'hydrostatic-column',
    alsoCites: ['kallioinen-2017'],
  },
  'cuff-above-heart': { severity: 'warning', direction: 'reads-low', citation: 'hydrostatic-column' },
  'cuff-over-clothing': {
    severity: 'information',
    direction: 'either',
    note: 'sources disagree: the systematic review found no significant effect',
    commonPractice: '5 to 50 mmHg up or down, as wall charts print it',
    citation: 'kallioinen-2017',
    alsoCites: ['common-practice'],
  },
  'cuff-too-small': {
    severity: 'warning',
    direction: 'reads-high',
    size: { systolic: [2.1, 11.2], diastolic: [1.6, 6.6] },
    note: 'in a 2023 trial a regular cuff read +4.8 systolic and +1.8 diastolic on arms that need a large one, and +19.5 and +7.4 on arms that need an extra-large one',
    citation: 'kallioinen-2017',
    alsoCites: ['cuff-size-rct-2023', 'aha-cuff-table'],
  },
  'cuff-too-large': {
    severity: 'warning',
    direction: 'reads-low',
    size: { systolic: [-3.7, -1.5], diastolic: [-4.7, -1] },
    note: 'in a 2023 trial a regular cuff read -3.6 systolic and -1.3 diastolic on arms that need a small one',
    citation: 'kallioinen-2017',
    alsoCites: ['cuff-size-rct-2023', 'aha-cuff-table'],
  },
  'cuff-edge-off': {
    severity: 'information',
    direction: 'unknown',
    note: 'Hypertension Canada 2020 places the edge 3 cm above the crease and ACC/AHA 2017 directly above it',
    commonPractice: 'a couple of cm, 2 to 3',
    citation: 'hypertension-canada-2020',
    alsoCites: ['acc-aha-2017', 'common-practice'],
  },
  'cuff-fit-off': {
    severity: 'information',
    direction: 'unknown',
    note: 'published advice is one to two fingers, from memory and not re-read',
    commonPractice: 'two fingers',
    citation: 'cuff-placement-memory',
    alsoCites: ['common-practice'],
  },
  talking: {
    severity: 'warning',
    direction: 'reads-high',
    size: { systolic: [4, 19], diastolic: [5, 14] },
    note: 'figures from memory, not re-read; another review is quoted with 10 to 15 mmHg',
    citation: 'kallioinen-2017-memory',
    alsoCites: ['handler-2009'],
  },
  moving: { severity: 'warning', direction: 'unknown', citation: 'common-practice' },
  'bladder-full': {
    severity: 'warning',
    direction: 'reads-high',
    size: { systolic: [4.2, 33], diastolic: [2.8, 18.5] },
    commonPractice: '+10 to +20 mmHg',
    citation: 'kallioinen-2017',
    alsoCites: ['common-practice'],
  },
  pain: {
    severity: 'warning',
    direction: 'reads-high',
    note: 'the systematic review gives no figure; another review is quoted with +10 to +30 mmHg',
    commonPractice: 'up to +30 mmHg',
    citation: 'handler-2009',
    alsoCites: ['common-practice'],
  },
  'cold-exposure': {
    severity: 'warning',
    direction: 'reads-high',
    size: { systolic: [5, 32], diastolic: [4, 23] },
    note: 'NICE asks for a temperate room',
    citation: 'kallioinen-2017',
    alsoCites: ['nice-ng136-technique'],
  },
  'caffeine-recent': {
    severity: 'warning',
    direction: 'reads-high',
    size: { systolic: [3, 14], diastolic: [2.1, 13] },
    citation: 'kallioinen-2017',
    alsoCites: ['acc-aha-2017'],
  },
  'nicotine-recent': {
    severity: 'warning',
    direction: 'reads-high',
    size: { systolic: [2.8, 25], diastolic: [2, 18] },
    citation: 'kallioinen-2017',
    alsoCites: ['acc-aha-2017'],
  },
  'alcohol-recent': {
    severity: 'warning',
    direction: 'either',
    size: { systolic: [-23.6, 24], diastolic: [-14, 16] },
    citation: 'kallioinen-2017',
    alsoCites: ['common-practice'],
  },
  'exercise-recent': {
    severity: 'warning',
    direction: 'either',
    note: 'a rise that passes, then possibly a fall; the size is not established',
    citation: 'acc-aha-2017',
  },
  'meal-recent': {
    severity: 'warning',
    direction: 'reads-low',
    size: { systolic: [-6, -6], diastolic: [-5, -1.9] },
    note: 'the systolic figure is from one study',
    citation: 'kallioinen-2017',
    alsoCites: ['common-practice'],
  },
  'after-medication': {
    severity: 'information',
    direction: 'unknown',
    note: 'no size is published; some schedules, ACC/AHA 2017 among them, ask for the morning readings before it',
    citation: 'acc-aha-2017',
  },
  'not-seated': { severity: 'warning', direction: 'either', citation: 'nice-ng136' },
  'wrist-site': {
    severity: 'warning',
    direction: 'either',
    note: 'it follows the height of the wrist against the heart',
    citation: 'hydrostatic-column',
    alsoCites: ['common-practice'],
  },
  'clinic-setting': {
    severity: 'information',
    direction: 'either',
    size: { systolic: [-12.7, 26.7], diastolic: [-8.2, 21] },
    note: 'the white-coat effect of clinics, up on the whole and either way in a single person',
    citation: 'kallioinen-2017',
  },
  'gap-too-short': {
    severity: 'warning',
    direction: 'unknown',
    note: 'at least one minute between readings is asked for',
    citation: 'nice-ng136',
    alsoCites: ['acc-aha-2017'],
  },
  'monitor-body-movement': { severity: 'warning', direction: 'unknown', citation: 'iso-11073-10407' },
  'monitor-cuff-too-loose': { severity: 'warning', direction: 'unknown', citation: 'iso-11073-10407' },
  'monitor-irregular-pulse': { severity: 'warning', direction: 'unknown', citation: 'iso-11073-10407' },
  'monitor-improper-position': { severity: 'warning', direction: 'unknown', citation: 'iso-11073-10407' },
}

/** What lying down does against sitting; for standing and half-lying no figure was found. */
export const LYING_EFFECT: Effect = {
  severity: 'warning',
  direction: 'either',
  size: { systolic: [-10.7, 9.5], diastolic: [-13.4, 6.4] },
  note: 'with the arm at heart level one study found +8 systolic and no change in diastolic',
  citation: 'kallioinen-2017',
  alsoCites: ['nice-ng136', 'pmid-8069403'],
}

/** An arm on the lap against one on a desk; 95 % confidence intervals in the note. Source: ARMS 2024, PMID 39373998. */
export const LAP_EFFECT: Effect = {
  severity: 'warning',
  direction: 'reads-high',
  size: { systolic: [3.9, 3.9], diastolic: [4, 4] },
  note: 'against an arm on a desk, with 95 % confidence intervals of 2.5 to 5.2 and 3.1 to 5.0',
  citation: 'arms-2024',
}

/** An arm hanging at the side against one on a desk. Source: as above; the review's own range is for an arm unsupported. */
export const HANGING_EFFECT: Effect = {
  severity: 'warning',
  direction: 'reads-high',
  size: { systolic: [6.5, 6.5], diastolic: [4.4, 4.4] },
  note: 'against an arm on a desk, with 95 % confidence intervals of 5.1 to 7.9 and 3.4 to 5.4; the systematic review gives +4.87 systolic and +2.7 to +4.81 diastolic for an unsupported arm',
  citation: 'arms-2024',
  alsoCites: ['kallioinen-2017'],
}
