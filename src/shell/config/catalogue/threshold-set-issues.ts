import type { Issue } from '../../../core/basics/issue.ts'
import type { ThresholdSet } from '../../../core/clinical/protocol/threshold-set.ts'
import { settingsProblem } from '../settings-refused.ts'
import { notLoaded } from './not-loaded.ts'

/**
 * What is wrong with the threshold sets a document names: one that is not loaded, or one drawn for a mean the document
 * does not work out, such as the mean of a night beside home readings.
 */
export function thresholdSetIssues(
  named: readonly string[],
  settings: readonly ThresholdSet['setting'][],
  loaded: ReadonlyMap<string, ThresholdSet>,
): readonly Issue[] {
  return named.flatMap((id, index) => {
    const at = `thresholdSets[${index}]`
    const set = loaded.get(id)
    if (set === undefined) return [notLoaded(at, id, 'a threshold set', loaded.keys())]
    if (settings.includes(set.setting)) return []
    const expected = `a threshold set whose setting is ${settings.join(' or ')}`
    return [settingsProblem(at, expected, 'Name a set that is drawn for a mean worked out here.')]
  })
}
