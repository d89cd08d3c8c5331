import { CAUTION } from '../../core/clinical/averaging/caution.ts'
import { quiet, strong, table } from '../cli/terminal.ts'
import type { AverageInRecord } from './clinic-record.ts'

/** Widths of the columns before the last, which takes the rest of the terminal. */
const WIDTHS = [14, 25, 6, 10, 13, 17]
const LEAST_LAST = 25
const MOST_LAST = 60

/** The averages as a clinician would want them on a page; every cell comes from the clinic's own record. */
export function averageTable(averages: readonly AverageInRecord[], width: number): string {
  const byName = averages.toSorted((a, b) => a.patient.localeCompare(b.patient))
  const rows = byName.map((average) => [
    average.patient,
    `${average.protocol}\n${quiet(`${average.firstDay} to`)}\n${quiet(average.lastDay)}`,
    `${average.daysUsed}`,
    `${average.used} / ${average.received}`,
    strong(pair(average)),
    average.labels.map(({ label, title }) => `${label}\n${quiet(title)}`).join('\n'),
    remarks(average).join('\n'),
  ])
  const head = [
    'patient',
    'protocol, period',
    'days',
    'used / received',
    'average mmHg',
    'label',
    'left out, and why',
  ]
  const taken = WIDTHS.reduce((sum, one) => sum + one, WIDTHS.length + 2)
  const last = Math.min(MOST_LAST, Math.max(LEAST_LAST, width - taken))
  return [table(head, rows, [...WIDTHS, last]), ...rules(byName), '', quiet(CAUTION)].join('\n')
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
    const higher = interArm.systolic > 0 ? 'left' : 'right'
    const limit = interArm.aboveLimit ? ', above the usual 20' : ''
    lines.push(
      `arms differ by ${Math.abs(interArm.systolic).toFixed(1)} systolic${limit}; the ${higher} is higher`,
    )
  }
  return lines
}

/** Each reason a reading was left out, once for each protocol, with its rule and source as the record carries them. */
function rules(averages: readonly AverageInRecord[]): readonly string[] {
  const texts = new Map<string, string>()
  for (const { leftOut } of averages) for (const { reason, text } of leftOut) texts.set(text, reason)
  return [...texts].map(([text, reason]) => `${strong(reason)}  ${text}`)
}

function pair({ systolic, diastolic }: { readonly systolic?: number; readonly diastolic?: number }): string {
  return systolic === undefined || diastolic === undefined
    ? 'none'
    : `${systolic.toFixed(1)}/${diastolic.toFixed(1)}`
}
