import type { Result } from '../../basics/result.ts'
import { readDocument } from './document-issues.ts'
import { type ThresholdSet, thresholdSetDocument } from './threshold-set.ts'

/** A threshold set from parsed JSON, or every issue in it (code SETTINGS_REFUSED), each at its path: `bands[0].label`. */
export function readThresholdSet(json: unknown): Result<ThresholdSet> {
  return readDocument(thresholdSetDocument, json, 'the threshold-set file')
}
