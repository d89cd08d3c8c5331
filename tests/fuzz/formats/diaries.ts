import { canaryText } from '../canaries.ts'
import type { FuzzFormat } from './fuzz-format.ts'
import { countReadings, type MadeReading, madeSittings } from './made-sittings.ts'

export const ROW_PER_READING: FuzzFormat = {
  name: 'CSV, a row for each reading',
  mapping: 'diary-one-row-per-reading',
  valid(random) {
    const sittings = madeSittings(random)
    const rows = sittings.flatMap(({ subject, readings }) =>
      readings.map((reading) => readingRow(subject, reading)),
    )
    return {
      cells: [[...READING_HEADER], ...rows],
      write: (cells) => written(cells, ';'),
      shape: 'table',
      readings: countReadings(sittings),
    }
  },
}

export const READING_HEADER = [
  'Personne',
  'Date',
  'Heure',
  'Bras',
  'Systolique',
  'Diastolique',
  'Pouls',
] as const

/** A reading as its row: kPa with a decimal comma. */
export function readingRow(subject: string, { time, systolic, diastolic, pulse }: MadeReading): string[] {
  const [date = '', clock = ''] = time.split('T')
  return [
    subject,
    date.split('-').reverse().join('.'),
    clock.slice(0, 5),
    'gauche',
    kilopascals(systolic).replace('.', ','),
    kilopascals(diastolic).replace('.', ','),
    String(pulse),
  ]
}

export const THREE_PAIRS: FuzzFormat = {
  name: 'CSV, three readings a row',
  mapping: 'diary-three-pairs-of-columns',
  valid(random) {
    const sittings = madeSittings(random)
    const header =
      'subject,date,time,arm,unit,sys 1,dia 1,pulse 1,sys 2,dia 2,pulse 2,sys 3,dia 3,pulse 3,note'
    const rows = sittings.map(({ subject, readings }) => {
      const [date = '', clock = ''] = (readings[0]?.time ?? '').split('T')
      const sets = [0, 1, 2].flatMap((index) => {
        const reading = readings[index]
        if (reading === undefined) return ['-', '-', '-']
        return [reading.systolic, reading.diastolic, reading.pulse].map(String)
      })
      const note = random.happens(0.3) ? `"${canaryText(random)}, twice"` : ''
      return [subject, date, clock.slice(0, 5), 'left', 'mmHg', ...sets, note]
    })
    return {
      cells: [header.split(','), ...rows],
      write: (cells) => written(cells, ','),
      shape: 'table',
      readings: countReadings(sittings),
    }
  },
}

/** To a tenth, as a monitor that shows kPa does. */
function kilopascals(mmHg: number): string {
  return (Math.round(mmHg * 1.33322) / 10).toFixed(1)
}

function written(cells: readonly (readonly string[])[], delimiter: string): string {
  return cells.map((row) => `${row.join(delimiter)}\n`).join('')
}
