import type { CitationId } from '../citations.ts'

/** How one source tells clinic and home apart, and what it calls it. All in mmHg, systolic then diastolic. */
export interface PatternSystem {
  readonly system: string
  readonly citation: CitationId
  /** High from here on, inclusive, by either number. */
  readonly clinic: readonly [systolic: number, diastolic: number]
  readonly home: readonly [systolic: number, diastolic: number]
  /** High at the clinic alone, and high at home alone. */
  readonly clinicAlone: string
  readonly homeAlone: string
  /** A clinic mean more than this above home, by either number, has a name of its own. */
  readonly effect?: { readonly gap: readonly [systolic: number, diastolic: number]; readonly name: string }
}

/**
 * The systems as they are published. The same two means can be named otherwise by another system, so a name never
 * stands without its own, and none is a diagnosis.
 */
export const PATTERN_SYSTEMS: readonly PatternSystem[] = [
  {
    // Source: NICE NG136. It names the gap, not the clinic-only pattern; that either number decides is settled here.
    system: 'NICE NG136',
    citation: 'nice-ng136-terms',
    clinic: [140, 90],
    home: [135, 85],
    clinicAlone: 'high at the clinic and not at home, for which it has no name by itself',
    homeAlone: 'the pattern it calls masked hypertension',
    effect: { gap: [20, 10], name: 'a white-coat effect, the clinic more than 20/10 mmHg above home' },
  },
  {
    // Source: AHA/ACC 2025, table 9, whose out-of-office limits are 130/80 awake or 125/75 over 24 hours; home 130/80
    // is from its table 7. Whether a person is treated is not known here, so both names are given.
    system: 'AHA/ACC 2025',
    citation: 'aha-acc-2025-table-9',
    clinic: [130, 80],
    home: [130, 80],
    clinicAlone:
      'the pattern it calls white-coat hypertension, or white-coat effect when treated (it asks for 130/80 awake or 125/75 over 24 hours; home readings stand in for them here)',
    homeAlone:
      'the pattern it calls masked hypertension, or masked uncontrolled hypertension when treated (it asks for 130/80 awake or 125/75 over 24 hours; home readings stand in for them here)',
  },
  {
    // Source: ESH style limits as other publications state them.
    system: 'ESH',
    citation: 'esh-office-and-home',
    clinic: [140, 90],
    home: [135, 85],
    clinicAlone: 'the pattern it calls white-coat hypertension in people without treatment',
    homeAlone: 'the pattern it calls masked hypertension in people without treatment',
  },
]
