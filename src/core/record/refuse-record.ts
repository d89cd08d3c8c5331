import type { Issue } from '../basics/issue.ts'
import { isNonEmpty, type Result, refused } from '../basics/result.ts'
import { meaningIssues } from './meaning-issues.ts'
import { recordIssue } from './record-issue.ts'
import { schemaIssues } from './schema-issues.ts'
import { mostReadings, sessionRecord } from './session-record.ts'

/** Issues told for one record. A record with more was made by something broken, and the rest says nothing new. */
export const MOST_ISSUES = 100

/** Every issue of a record that could not be read: first what the schema refuses, then what cannot be meant. */
export function refuseRecord<T>(record: unknown, context: { readonly zone?: string }): Result<T> {
  const issues: Issue[] = []
  for (const issue of everyIssue(record, context.zone)) {
    if (issues.length === MOST_ISSUES) {
      issues.push(recordIssue('TOO_MANY', [], 'Mend those first, then send again.', tooManyToTell))
      break
    }
    issues.push(issue)
  }
  if (!isNonEmpty(issues)) throw new Error('a record was refused for no reason that could be told')
  return refused(issues)
}

const tooManyToTell = `at most ${MOST_ISSUES} things wrong with one record`

function* everyIssue(record: unknown, zone: string | undefined): Generator<Issue> {
  const looked = withFewReadings(record)
  if (looked !== record) yield recordIssue('TOO_MANY', ['readings'], 'Send one record for each sitting.')
  const parsed = sessionRecord.safeParse(looked)
  if (!parsed.success) yield* schemaIssues(parsed.error, looked)
  yield* meaningIssues(looked, zone)
}

/** The record, or when it holds too many readings, a copy that ends at the last one allowed. */
function withFewReadings(record: unknown): unknown {
  if (typeof record !== 'object' || record === null || !('readings' in record)) return record
  const most = mostReadings('setting' in record ? record.setting : undefined)
  if (!Array.isArray(record.readings) || record.readings.length <= most) return record
  return { ...record, readings: record.readings.slice(0, most) }
}
