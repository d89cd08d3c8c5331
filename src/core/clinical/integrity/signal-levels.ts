/**
 * From where on a signal is raised. No published source states such levels for the readings of one person, so all of
 * them are common practice: set so that ordinary readings hardly ever raise one.
 */
export const SIGNAL_LEVELS = {
  /**
   * Probability below which a test raises its signal. Where a signal makes several tests it is divided among them, so
   * that chance alone raises the signal in fewer than one period of a thousand.
   */
  probability: 0.001,
  /** Share of typed sittings above which most are typed. */
  typedShare: 0.5,
  /** Times the most frequent pair of numbers comes up, and its share of the readings. */
  samePair: { least: 4, share: 0.25 },
  /** How far on either side of a threshold readings are counted, mmHg. */
  crowdingMmHg: 2,
  /** Local days of typed sittings that come in within so many milliseconds. */
  inOneGo: { days: 3, withinMs: 60_000 },
  /** Days without a reading, and their share of the days asked for. */
  daysWithout: { least: 2, share: 0.25 },
} as const
