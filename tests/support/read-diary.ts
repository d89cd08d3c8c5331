import type { Issue } from '../../src/core/basics/issue.ts'
import { SittingMapper } from '../../src/core/mapping/apply/sitting-mapper.ts'
import { translateIssues } from '../../src/core/mapping/apply/translate-issue.ts'
import type { Mapping } from '../../src/core/mapping/mapping.ts'
import { type ReadSession, readSession } from '../../src/core/record/read-session.ts'
import { csvFormOf, timeColumnsOf } from '../../src/shell/intake/csv-declaration.ts'
import { csvRows } from '../../src/shell/intake/csv-rows.ts'
import { proveCsv } from '../../src/shell/intake/prove-csv.ts'

/** What became of a diary: refused as a whole, or its sessions beside what was refused and remarked row by row. */
export type ReadDiary =
  | { readonly file: readonly Issue[] }
  | {
      readonly sessions: readonly ReadSession[]
      readonly refused: readonly Issue[]
      readonly remarks: readonly Issue[]
    }

/** Reads the bytes of a diary by its mapping: proven first, then row by row to sessions of a person in that zone. */
export async function readDiary(bytes: Uint8Array, mapping: Mapping, zone?: string): Promise<ReadDiary> {
  async function* open() {
    yield bytes
  }
  const form = csvFormOf(mapping)
  const proven = await proveCsv({ open }, form, timeColumnsOf(mapping))
  if (!proven.ok) return { file: proven.issues }

  const mapper = new SittingMapper(mapping)
  const sessions: ReadSession[] = []
  const refused: Issue[] = []
  const remarks: Issue[] = []
  const settle = (outcomes: ReturnType<SittingMapper['end']>) => {
    for (const outcome of outcomes) {
      if (outcome.kind === 'skipped' || outcome.kind === 'withdrawal') continue
      if (outcome.kind === 'refused') {
        refused.push(...outcome.issues)
        continue
      }
      remarks.push(...outcome.sitting.remarks)
      const read = readSession(outcome.sitting.record, zone === undefined ? {} : { zone })
      if (read.ok) sessions.push(read.value)
      else refused.push(...translateIssues(read.issues, outcome.sitting))
    }
  }
  for await (const found of csvRows(open(), form)) {
    if (found.kind === 'row') settle(mapper.take(found.row))
    else refused.push(...found.issues)
  }
  settle(mapper.end())
  return { sessions, refused, remarks }
}
