import type { LocalDay } from '../../basics/local-day.ts'
import type { Arm, Session, Site } from '../session.ts'
import { chooseArm, chooseSite } from './choose-arm.ts'
import { FIRST, leavesFirstOut } from './first-reading-rule.ts'
import { leftOutText } from './left-out-text.ts'
import type { LeftOut, LeftOutReason, PeriodPlan, PlacedReading } from './period-average.ts'

/** Which readings are averaged and which are not: every reading is in exactly one of the two, in the given order. */
export interface Selection {
  readonly used: readonly PlacedReading[]
  readonly leftOut: readonly LeftOut[]
  readonly arm?: Arm
  readonly site?: Site
}

/**
 * Applies the rules of the plan's protocol. A reading that breaks several is left out by the first of: outside the
 * period, not at home, a pressure missing, the other site, the other arm, outside the windows, the first days, the
 * first reading. Technique and plausibility findings never leave a reading out.
 *
 * Site and arm are chosen among the readings that break no other rule, so a reading that cannot count does not
 * decide whose readings do.
 */
export function selectReadings(plan: PeriodPlan, placed: readonly PlacedReading[]): Selection {
  const before = (one: PlacedReading) => notAHomeReading(plan, one)
  const after = scheduleRules(plan, placed)
  const candidates = placed.filter((one) => before(one) === undefined && after(one) === undefined)
  const { site, arm } = siteAndArm(plan, candidates)

  const used: PlacedReading[] = []
  const leftOut: LeftOut[] = []
  for (const one of placed) {
    const reason = before(one) ?? otherLimb(one, site, arm) ?? after(one)
    if (reason === undefined) used.push(one)
    else leftOut.push({ placed: one, reason, text: leftOutText(reason, plan) })
  }
  return {
    used,
    leftOut,
    ...(site === undefined ? {} : { site }),
    ...(arm === undefined ? {} : { arm }),
  }
}

/** Why this is not a complete home reading of the period; undefined when it is one. */
export function notAHomeReading(
  plan: PeriodPlan,
  { session, reading, day }: PlacedReading,
): LeftOutReason | undefined {
  if (!inPeriod(plan, day)) return 'outside-period'
  if (session.setting !== 'home') return 'other-setting'
  return reading.systolic === null || reading.diastolic === null ? 'pressure-missing' : undefined
}

function inPeriod({ firstDay, lastDay }: PeriodPlan, day: LocalDay): boolean {
  return firstDay <= day && day <= lastDay
}

function siteAndArm(
  plan: PeriodPlan,
  candidates: readonly PlacedReading[],
): { site: Site | undefined; arm: Arm | undefined } {
  const onArm = candidates.filter(({ session }) => plan.arm === undefined || session.arm === plan.arm)
  const site = chooseSite(onArm)
  if (plan.arm !== undefined) return { site, arm: plan.arm }
  return { site, arm: chooseArm(onArm.filter(({ session }) => session.site === site)) }
}

function otherLimb(
  { session }: PlacedReading,
  site: Site | undefined,
  arm: Arm | undefined,
): LeftOutReason | undefined {
  if (site !== undefined && session.site !== site) return 'other-site'
  return arm !== undefined && session.arm !== arm ? 'other-arm' : undefined
}

/** The protocol's own rules: windows, first days, first reading. */
function scheduleRules(
  plan: PeriodPlan,
  placed: readonly PlacedReading[],
): (one: PlacedReading) => LeftOutReason | undefined {
  const { firstDays, firstReading } = plan.protocol.leaveOut
  const leftOutDays = firstDaysOfMeasuring(plan, placed, firstDays)
  const leavesOut = new Map<Session, boolean>()
  return ({ session, reading, day, window }) => {
    if (window === undefined) return 'outside-window'
    if (leftOutDays.has(day)) return 'first-day'
    if (reading.ordinal !== FIRST) return undefined
    let left = leavesOut.get(session)
    if (left === undefined) {
      left = leavesFirstOut(firstReading, session)
      leavesOut.set(session, left)
    }
    return left ? 'first-reading' : undefined
  }
}

/**
 * The first local days of the period on which the person measured at home, whatever the arm, the hour or the
 * outcome. They are days of measuring, not of the plan: who starts late does not escape the rule.
 */
function firstDaysOfMeasuring(
  plan: PeriodPlan,
  placed: readonly PlacedReading[],
  count: number,
): ReadonlySet<LocalDay> {
  const days = new Set(
    placed
      .filter(({ session, day }) => session.setting === 'home' && inPeriod(plan, day))
      .map(({ day }) => day),
  )
  return new Set([...days].sort().slice(0, count))
}
