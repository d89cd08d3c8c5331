import { readdirSync, readFileSync } from 'node:fs'
import { issueText } from '../../src/core/basics/issue.ts'
import type { Result } from '../../src/core/basics/result.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import { readProtocol } from '../../src/core/clinical/protocol/read-protocol.ts'
import { readRecordingRule } from '../../src/core/clinical/protocol/read-recording-rule.ts'
import { readThresholdSet } from '../../src/core/clinical/protocol/read-threshold-set.ts'
import type { RecordingRule } from '../../src/core/clinical/protocol/recording-rule.ts'
import type { ThresholdSet } from '../../src/core/clinical/protocol/threshold-set.ts'

const profiles = new URL('../../profiles/', import.meta.url)

/** A document of `profiles/` as parsed JSON. */
export function profileJson(path: string): unknown {
  return JSON.parse(readFileSync(new URL(path, profiles), 'utf8'))
}

/** Names of the JSON files in a folder of `profiles/`. */
export function profileFiles(folder: string): readonly string[] {
  return readdirSync(new URL(`${folder}/`, profiles))
    .filter((file) => file.endsWith('.json'))
    .sort()
}

export function shippedProtocol(id: string): Protocol {
  return documentOf(readProtocol(profileJson(`protocols/${id}.json`)))
}

/** Every protocol of the package, in the order of their ids. */
export function shippedProtocols(): readonly Protocol[] {
  return profileFiles('protocols').map((file) => shippedProtocol(file.replace(/\.json$/, '')))
}

export function shippedRecordingRules(): readonly RecordingRule[] {
  return profileFiles('recording-rules').map((file) =>
    documentOf(readRecordingRule(profileJson(`recording-rules/${file}`))),
  )
}

export function shippedThresholdSets(): readonly ThresholdSet[] {
  return profileFiles('threshold-sets').map((file) =>
    documentOf(readThresholdSet(profileJson(`threshold-sets/${file}`))),
  )
}

function documentOf<T>(read: Result<T>): T {
  if (read.ok) return read.value
  throw new TypeError(read.issues.map(issueText).join('\n'))
}
