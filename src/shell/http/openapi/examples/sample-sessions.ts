/** An invented person's sitting, as the source of the samples sends it. */
export function sampleSession(
  id: string,
  takenAt: readonly [string, string],
  [first, second]: readonly [readonly [number, number, number], readonly [number, number, number]],
) {
  const reading = (at: string, [systolic, diastolic, pulse]: readonly [number, number, number]) => ({
    takenAt: at,
    systolic,
    diastolic,
    pulse,
  })
  return {
    id,
    subject: 'HW-1002',
    takenAt: takenAt[0],
    setting: 'home',
    position: 'sitting',
    arm: 'left',
    site: 'upper-arm',
    readings: [reading(takenAt[0], first), reading(takenAt[1], second)],
    unit: 'mmHg',
    entry: 'transferred',
  }
}

export const FIRST_MORNING = sampleSession(
  'hw-1002-001',
  ['2026-03-02T06:50:32+00:00', '2026-03-02T06:51:51+00:00'],
  [
    [150, 87, 78],
    [152, 86, 70],
  ],
)

export const SECOND_MORNING = sampleSession(
  'hw-1002-003',
  ['2026-03-03T06:45:10+00:00', '2026-03-03T06:46:25+00:00'],
  [
    [134, 84, 71],
    [131, 82, 69],
  ],
)

export const SECOND_EVENING = sampleSession(
  'hw-1002-004',
  ['2026-03-03T20:10:02+00:00', '2026-03-03T20:11:20+00:00'],
  [
    [129, 79, 68],
    [128, 80, 67],
  ],
)

export const THIRD_MORNING = sampleSession(
  'hw-1002-005',
  ['2026-03-04T06:40:44+00:00', '2026-03-04T06:42:01+00:00'],
  [
    [133, 83, 70],
    [130, 81, 72],
  ],
)

/** One more, which its source takes back in another example. */
export const TAKEN_BACK = sampleSession(
  'hw-1002-006',
  ['2026-03-04T20:05:00+00:00', '2026-03-04T20:06:15+00:00'],
  [
    [126, 78, 66],
    [127, 77, 65],
  ],
)

/** Two rows of a paper diary of the same person. */
export const DIARY = [
  'Personne;Date;Heure;Bras;Systolique;Diastolique;Pouls',
  'HW-1002;05.03.2026;06:43;gauche;17,6;11,1;71',
  'HW-1002;05.03.2026;06:45;gauche;17,3;10,8;69',
  '',
].join('\r\n')
