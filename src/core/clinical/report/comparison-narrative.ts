import type { CommonLabels } from '../comparison/compare-period.ts'
import type { ComparisonSummary } from './comparison-summary.ts'
import { listed } from './narrative-words.ts'

/**
 * What the choice of rule does to these readings: the groups of protocols that a threshold set tells apart, each group
 * once, and under it what each set that divides them so calls its mean. One line when no label moves. The caution
 * comes last.
 */
export function comparisonNarrative({ bySet, caution, rows }: ComparisonSummary): readonly string[] {
  if (!rows.some(({ mean }) => mean !== undefined)) return ['No protocol has a reading to average.', caution]
  const moved = bySet.filter(({ moves }) => moves)
  if (moved.length === 0) {
    return ['Every threshold set gives the same label whichever protocol averages these readings.', caution]
  }
  return [
    'The same readings, another rule: here the rule and not the patient moves the label.',
    ...alikeDivided(moved).flatMap(dividedLines),
    caution,
  ]
}

/** Labels of a set with the protocols that get each. */
interface Divided {
  readonly title: string
  readonly groups: readonly { readonly label: string; readonly protocols: readonly string[] }[]
}

function divided({ title, labels }: CommonLabels): Divided {
  const groups = new Map<string, string[]>()
  for (const { protocol, label } of labels) groups.set(label, [...(groups.get(label) ?? []), protocol])
  return { title, groups: [...groups].map(([label, protocols]) => ({ label, protocols })) }
}

/** Sets that divide the protocols in the same way, together. */
function alikeDivided(sets: readonly CommonLabels[]): readonly (readonly Divided[])[] {
  const alike = new Map<string, Divided[]>()
  for (const set of sets.map(divided)) {
    const key = JSON.stringify(set.groups.map(({ protocols }) => protocols))
    alike.set(key, [...(alike.get(key) ?? []), set])
  }
  return [...alike.values()]
}

function dividedLines(sets: readonly Divided[]): readonly string[] {
  const [first] = sets
  if (first === undefined) return []
  return [
    `${first.groups.map(({ protocols }) => listed(protocols)).join('; against ')}:`,
    ...sets.map(({ title, groups }) => `  ${title}: ${groups.map(({ label }) => label).join('; against ')}.`),
  ]
}
