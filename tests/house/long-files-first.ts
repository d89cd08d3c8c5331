import { BaseSequencer, type TestSpecification } from 'vitest/node'

/** The files that take longest, measured on two cores. What is begun last would be waited for alone. */
const LONGEST = [
  'tests/chaos/chaos.test.ts',
  'tests/sources/r4-invariants-differential.test.ts',
  'tests/fuzz/intake-memory.test.ts',
  'tests/fuzz/intake-fuzz.test.ts',
  'tests/capabilities/kill-and-restart.test.ts',
  'tests/contracts/store-sqlite-worker.test.ts',
  'tests/contracts/store-sqlite.test.ts',
  'tests/capabilities/answers-table.test.ts',
  'tests/browser/audit-report-page.test.ts',
  'tests/capabilities/readme-commands.test.ts',
]

/** Begins the long files first, and the rest as Vitest would. */
export class LongFilesFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files)
    return sorted.sort((a, b) => placeOf(a) - placeOf(b))
  }
}

function placeOf({ moduleId }: TestSpecification): number {
  const place = LONGEST.findIndex((file) => moduleId.endsWith(file))
  return place === -1 ? LONGEST.length : place
}
