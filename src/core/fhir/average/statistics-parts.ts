import type { Extension, Quantity } from 'fhir/r4.js'
import { roundedStatistics } from '../../clinical/report/rounded-statistics.ts'
import type { Interval } from '../../clinical/statistics/interval.ts'
import type { PeriodStatistics, PressureStatistics } from '../../clinical/statistics/period-statistics.ts'
import { SYSTEM, UCUM } from '../codes.ts'
import { mmHgQuantity } from '../pressure-quantity.ts'

/**
 * How the readings vary, systolic and diastolic each by itself, with one digit after the point. None where the readings
 * are too few for any figure: an extension has a value or parts (R4 ext-1).
 */
export function statisticsParts(statistics: PeriodStatistics): Extension[] {
  const { systolic, diastolic } = roundedStatistics(statistics)
  return [
    { url: 'systolic', extension: pressureParts(systolic) },
    { url: 'diastolic', extension: pressureParts(diastolic) },
  ].filter(({ extension }) => extension.length > 0)
}

function pressureParts(statistics: PressureStatistics): Extension[] {
  const { sd, cv, arv, interval, trend } = statistics
  return [
    ...quantity('sdReadings', sd.readings, mmHgQuantity),
    ...quantity('sdSittings', sd.sittings, mmHgQuantity),
    ...quantity('sdDays', sd.days, mmHgQuantity),
    ...quantity('cvReadings', cv.readings, percent),
    ...quantity('cvSittings', cv.sittings, percent),
    ...quantity('cvDays', cv.days, percent),
    ...quantity('arvReadings', arv.readings, mmHgQuantity),
    ...quantity('arvSittings', arv.sittings, mmHgQuantity),
    ...quantity('arvDays', arv.days, mmHgQuantity),
    ...(interval === undefined
      ? []
      : [{ url: 'interval', extension: intervalParts(interval, mmHgQuantity) }]),
    ...(trend === undefined
      ? []
      : [
          {
            url: 'trend',
            extension: [
              { url: 'slope', valueQuantity: mmHgPerDay(trend.slope) },
              ...intervalParts(trend, mmHgPerDay),
            ],
          },
        ]),
    ...quantity('morningLessEvening', statistics.morningLessEvening, mmHgQuantity),
    ...quantity('dayOneEffect', statistics.dayOneEffect, mmHgQuantity),
    ...quantity('firstReadingEffect', statistics.firstReadingEffect, mmHgQuantity),
    ...quantity('withinSittingSd', statistics.withinSittingSd, mmHgQuantity),
    ...quantity('repeatability', statistics.repeatability, mmHgQuantity),
    ...quantity('morningCv', statistics.morningVariability?.cvPercent, percent),
  ]
}

function intervalParts(
  { low, high, days }: Interval & { readonly days: number },
  unit: (value: number) => Quantity,
): Extension[] {
  return [
    { url: 'low', valueQuantity: unit(low) },
    { url: 'high', valueQuantity: unit(high) },
    { url: 'days', valueInteger: days },
  ]
}

function quantity(url: string, value: number | undefined, unit: (value: number) => Quantity): Extension[] {
  return value === undefined ? [] : [{ url, valueQuantity: unit(value) }]
}

function percent(value: number): Quantity {
  return { value, unit: UCUM.percent.unit, system: SYSTEM.ucum, code: UCUM.percent.code }
}

function mmHgPerDay(value: number): Quantity {
  return { value, unit: UCUM.mmHgPerDay.unit, system: SYSTEM.ucum, code: UCUM.mmHgPerDay.code }
}
