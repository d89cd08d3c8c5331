import { instantOf, readInstant } from '../../src/core/basics/instant.ts'
import type { PressureUnit } from '../../src/core/basics/pressure.ts'
import {
  type ArmGroup,
  type SiteGroup,
  statedArm,
  statedSite,
} from '../../src/core/clinical/averaging/limb-groups.ts'
import type { CheckedSession } from '../../src/core/clinical/averaging/period-average.ts'
import type { Finding } from '../../src/core/clinical/finding.ts'
import type { Position, Reading, Session } from '../../src/core/clinical/session.ts'

/** Systolic, diastolic and, when the monitor gave one, pulse; null where the monitor gave no pressure. */
export type Numbers = readonly [systolic: number | null, diastolic: number | null, pulse?: number]

type Stated = 'position' | 'arm' | 'site'

export interface SittingParts extends Partial<Omit<Session, 'readings' | 'takenAt' | Stated>> {
  readonly position?: Position | 'not-stated'
  readonly arm?: ArmGroup
  readonly site?: SiteGroup
  /** RFC 3339 time of the first reading; each further one is `gapSeconds` later. */
  readonly at: string
  readonly readings: readonly Numbers[]
  readonly unit?: PressureUnit
  readonly gapSeconds?: number
  readonly findings?: readonly Finding[]
}

/** A seated home sitting on the left upper arm, with what a test says otherwise. The time is its id unless one is given. */
export function homeSitting({
  at,
  readings,
  unit = 'mmHg',
  gapSeconds = 60,
  findings = [],
  position = 'sitting',
  arm = 'left',
  site = 'upper-arm',
  ...said
}: SittingParts): CheckedSession {
  const takenAt = readInstant(at)
  if (takenAt === undefined) throw new TypeError(`not a time: ${at}`)
  const session: Session = {
    id: at,
    subject: 'P-1',
    setting: 'home',
    ...(position === 'not-stated' ? {} : { position }),
    ...statedArm(arm),
    ...statedSite(site),
    entry: 'transferred',
    conditions: {},
    ...said,
    takenAt,
    readings: readings.map(
      ([systolic, diastolic, pulse], index): Reading => ({
        ordinal: index + 1,
        takenAt: index === 0 ? takenAt : instantOf(takenAt.epochMs + index * gapSeconds * 1000),
        systolic: systolic === null ? null : { value: systolic, unit },
        diastolic: diastolic === null ? null : { value: diastolic, unit },
        ...(pulse === undefined ? {} : { pulse }),
      }),
    ),
  }
  return { session, findings }
}

/** A technique finding, of the whole sitting unless a reading is named. */
export function techniqueFinding(reading?: number): Finding {
  return {
    code: 'talking',
    kind: 'technique',
    severity: 'warning',
    direction: 'reads-high',
    text: 'Talking was reported.',
    citation: 'common-practice',
    ...(reading === undefined ? {} : { reading }),
  }
}
