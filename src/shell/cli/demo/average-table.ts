import { CAUTION } from '../../../core/clinical/report/caution.ts'
import { counted } from '../../../core/clinical/report/narrative-words.ts'
import { prose, quiet, strong, table } from '../terminal.ts'
import type { AverageInRecord } from './clinic-record.ts'

/** Widths of all columns but the last, which takes the rest of the terminal. */
const WIDE = [14, 25, 6, 10, 13, 17]
const NARROW = [26, 10, 17]
const LEAST_LAST = 20
const MOST_LAST = 60

/** The averages as a clinician would want them on a page; every cell comes from the clinic's own record. */
export function averageTable(averages: readonly AverageInRecord[], width: number): string {
  const byName = averages.toSorted((a, b) => a.patient.localeCompare(b.patient))
  const isWide = lastWidth(WIDE, width) > LEAST_LAST
  return [
    isWide ? wideTable(byName, width) : narrowTable(byName, width),
    ...rules(byName, width),
    ...longestNote(byName, width),
    '',
    prose(quiet(CAUTION), width),
  ].join('\n')
}

function wideTable(averages: readonly AverageInRecord[], width: number): string {
  const head = [
    'patient',
    'protocol, period',
    'days',
    'used / received',
    'average mmHg',
    'label',
    'left out, and why',
  ]
  const rows = averages.map((average) => [
    average.patient,
    protocolAndPeriod(average),
    `${average.daysUsed}`,
    `${average.used} / ${average.received}`,
    strong(pair(average)),
    labels(average),
    remarks(average).join('\n'),
  ])
  return table(head, rows, [...WIDE, lastWidth(WIDE, width)])
}

/** The same cells in fewer columns, for a terminal of 80. */
function narrowTable(averages: readonly AverageInRecord[], width: number): string {
  const head = ['patient, protocol, period', 'days, used', 'average mmHg, label', 'left out, and why']
  const rows = averages.map((average) => [
    `${average.patient}\n${protocolAndPeriod(average)}`,
    `${counted(average.daysUsed, 'day')}\n${average.used} of\n${average.received}`,
    `${strong(pair(average))}\n${labels(average)}`,
    remarks(average).join('\n'),
  ])
  return table(head, rows, [...NARROW, lastWidth(NARROW, width)])
}

function lastWidth(others: readonly number[], width: number): number {
  const taken = others.reduce((sum, one) => sum + one, others.length + 2)
  return Math.min(MOST_LAST, Math.max(LEAST_LAST, width - taken))
}

function protocolAndPeriod({ protocol, firstDay, lastDay }: AverageInRecord): string {
  return `${protocol}\n${quiet(`${firstDay} to`)}\n${quiet(lastDay)}`
}

function labels(average: AverageInRecord): string {
  return average.labels.map(({ label, title }) => `${label}\n${quiet(title)}`).join('\n')
}

function remarks({ leftOut, withoutFlagged, interArm }: AverageInRecord): readonly string[] {
  const lines = leftOut.map(({ readings, reason }) => `${readings} left out: ${reason}`)
  if (lines.length === 0) lines.push('nothing left out')
  if (withoutFlagged !== undefined) {
    lines.push(
      `${withoutFlagged.flagged} kept with a remark on technique; without them ${pair(withoutFlagged)}`,
    )
  }
  if (interArm !== undefined) {
    const { systolic, higherArm, above } = interArm
    const limits = above.length === 0 ? '' : `, above published limits of ${above.join(', ')}`
    const higher = higherArm === 'neither' ? '' : `; the ${higherArm} is higher`
    lines.push(`arms differ by ${Math.abs(systolic).toFixed(1)} systolic${limits}${higher}`)
  }
  return lines
}

/** The rules and their sources, each once, as the record carries them. */
function rules(averages: readonly AverageInRecord[], width: number): readonly string[] {
  const said = averages.flatMap(({ notes }) => notes.filter((note) => note.startsWith('Rule: ')))
  return [...new Set(said)].map((rule) => prose(rule, width))
}

/** The whole note of one average: of the one with the most to say. */
function longestNote(averages: readonly AverageInRecord[], width: number): readonly string[] {
  const [longest] = averages.toSorted((a, b) => b.notes.length - a.notes.length)
  if (longest === undefined) return []
  return [
    '',
    strong(`The note in the record of ${longest.patient}`),
    ...longest.notes.map((note) => prose(note, width)),
  ]
}

function pair({ systolic, diastolic }: { readonly systolic?: number; readonly diastolic?: number }): string {
  return systolic === undefined || diastolic === undefined
    ? 'none'
    : `${systolic.toFixed(1)}/${diastolic.toFixed(1)}`
}
