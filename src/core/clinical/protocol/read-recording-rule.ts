import type { Result } from '../../basics/result.ts'
import { readDocument } from './document-issues.ts'
import { type RecordingRule, recordingRuleDocument } from './recording-rule.ts'

/**
 * A rule for 24-hour recordings from parsed JSON, or every issue in it (code SETTINGS_REFUSED), each at its path:
 * `valid.leastDayReadings`. That its threshold sets exist is for whoever has all documents to check.
 */
export function readRecordingRule(json: unknown): Result<RecordingRule> {
  return readDocument(recordingRuleDocument, json, 'the recording-rule file')
}
