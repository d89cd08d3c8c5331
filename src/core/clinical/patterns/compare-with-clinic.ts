import { reachesMmHg } from '../../basics/exact-mean.ts'
import { exceedsBy } from '../averaging/exceeds-by.ts'
import { meanOfReadings } from '../averaging/mean-of-readings.ts'
import type { CheckedSession, MeanPressure, PeriodAverage } from '../averaging/period-average.ts'
import type { ClinicComparison, ClinicPattern } from './clinic-comparison.ts'
import { CORRESPONDENCE_TABLE } from './correspondence-table.ts'
import { PATTERN_SYSTEMS, type PatternSystem } from './pattern-systems.ts'

/**
 * What stands beside a home mean: the published row it reaches, and how it lies to the clinic's own readings by each
 * system. All by the unrounded means; a lower bound is inclusive, and either number decides.
 *
 * @param sittings those of the period. Of them the complete readings of setting `clinic` make the clinic mean, each of
 *   the same weight; a public kiosk is no clinic, and what was withdrawn does not count.
 */
export function compareWithClinic(
  { mean }: PeriodAverage,
  sittings: readonly CheckedSession[],
): ClinicComparison {
  const clinicMean = meanOfReadings(
    sittings
      .filter(({ session, withdrawn }) => session.setting === 'clinic' && withdrawn !== true)
      .flatMap(({ session }) => session.readings),
  )
  const row =
    mean === undefined ? undefined : CORRESPONDENCE_TABLE.findLast(({ home }) => reaches(mean, home))
  return {
    correspondence: row === undefined ? [] : [row],
    ...(clinicMean === undefined ? {} : { clinicMean }),
    patterns:
      mean === undefined || clinicMean === undefined
        ? []
        : PATTERN_SYSTEMS.map((system) => patternBy(system, clinicMean, mean)),
  }
}

function patternBy(system: PatternSystem, clinicMean: MeanPressure, homeMean: MeanPressure): ClinicPattern {
  const clinicHigh = reaches(clinicMean, system.clinic)
  const homeHigh = reaches(homeMean, system.home)
  const { effect } = system
  const hasEffect = effect !== undefined && isAbove(clinicMean, homeMean, effect.gap)
  const name = sidesOf(system, clinicHigh, homeHigh)
  return {
    system: system.system,
    citation: system.citation,
    clinicHigh,
    homeHigh,
    name: hasEffect ? `${name}, with what it calls ${effect.name}` : name,
  }
}

function sidesOf(system: PatternSystem, clinicHigh: boolean, homeHigh: boolean): string {
  if (clinicHigh) return homeHigh ? 'high at the clinic and at home' : system.clinicAlone
  return homeHigh ? system.homeAlone : 'high neither at the clinic nor at home'
}

function reaches(mean: MeanPressure, [systolic, diastolic]: readonly [number, number]): boolean {
  return reachesMmHg(mean.systolic, systolic) || reachesMmHg(mean.diastolic, diastolic)
}

function isAbove(
  first: MeanPressure,
  second: MeanPressure,
  [systolic, diastolic]: readonly [number, number],
): boolean {
  return (
    exceedsBy(first.systolic, second.systolic, systolic) ||
    exceedsBy(first.diastolic, second.diastolic, diastolic)
  )
}
