import { reachesMmHg } from '../../basics/exact-mean.ts'
import { exceedsBy } from '../averaging/exceeds-by.ts'
import { statedArm, statedSite } from '../averaging/limb-groups.ts'
import { meanOfReadings } from '../averaging/mean-of-readings.ts'
import type { MeanPressure, PeriodAverage } from '../averaging/period-average.ts'
import { selectClinicReadings } from '../averaging/select-clinic-readings.ts'
import type { ClinicComparison, ClinicPattern } from './clinic-comparison.ts'
import { CORRESPONDENCE_TABLE } from './correspondence-table.ts'
import { PATTERN_SYSTEMS, type PatternSystem } from './pattern-systems.ts'

/**
 * What stands beside a home mean: the published row it reaches, and how it lies to the clinic's own readings by each
 * system. All by the unrounded means; a lower bound is inclusive, and either number decides.
 *
 * The clinic mean is that of `selectClinicReadings`, each of the same weight; a public kiosk is no clinic.
 */
export function compareWithClinic(average: PeriodAverage): ClinicComparison {
  const { mean } = average
  const { used, arm, site } = selectClinicReadings(average)
  const clinicMean = meanOfReadings(used.map(({ reading }) => reading))
  const row =
    mean === undefined ? undefined : CORRESPONDENCE_TABLE.findLast(({ home }) => reaches(mean, home))
  return {
    correspondence: row === undefined ? [] : [row],
    ...(clinicMean === undefined ? {} : { clinicMean, ...statedArm(arm), ...statedSite(site) }),
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
