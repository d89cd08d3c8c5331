import { columnsOfReadings } from './columns-of-readings.ts'
import { leftOutText } from './left-out-text.ts'
import type { ArmGroup, SiteGroup } from './limb-groups.ts'
import type { LeftOut, PeriodPlan, PlacedReading } from './period-average.ts'
import { COUNTS, isCompleteHome, isTrusted, reasonOf } from './selection/reasons.ts'
import { selectRows } from './selection/select-rows.ts'

/** Which readings are averaged and which are not: every reading is in exactly one of the two, in the given order. */
export interface Selection {
  readonly used: readonly PlacedReading[]
  readonly leftOut: readonly LeftOut[]
  /** The complete home readings of the period, each once, whatever the protocol makes of them. */
  readonly completeHome: readonly PlacedReading[]
  /** Those of them that neither the clinic's policy nor their position excludes. */
  readonly trusted: readonly PlacedReading[]
  /** Whose readings count; absent when none does and the plan names no arm. */
  readonly arm?: ArmGroup
  readonly site?: SiteGroup
}

/** Applies the rules of the plan's protocol to readings in the order of `placeReadings`; see `selection/reasons.ts`. */
export function selectReadings(plan: PeriodPlan, placed: readonly PlacedReading[]): Selection {
  const { reasons, sameAs, arm, site } = selectRows(plan, columnsOfReadings(placed))
  const codes = placed.map((one, row) => ({ one, code: reasons[row] ?? COUNTS }))
  const completeHome = codes.filter(({ code }) => isCompleteHome(code))
  return {
    used: codes.filter(({ code }) => code === COUNTS).map(({ one }) => one),
    leftOut: codes.flatMap(({ one, code }, row) => {
      const reason = reasonOf(code)
      if (reason === undefined) return []
      const twin = placed[sameAs.get(row) ?? -1]
      const text = leftOutText(reason, plan, one, twin)
      return [{ placed: one, reason, text, ...(twin === undefined ? {} : { sameAs: twin }) }]
    }),
    completeHome: completeHome.map(({ one }) => one),
    trusted: completeHome.filter(({ code }) => isTrusted(code)).map(({ one }) => one),
    ...(site === undefined ? {} : { site }),
    ...(arm === undefined ? {} : { arm }),
  }
}
