import { BaseSequencer, type TestSpecification } from 'vitest/node'

/** The files that take longest, measured on two cores. What is begun last would be waited for alone. */
const LONGEST = [
  'tests/chaos/chaos.test.ts',
  'tests/capabilities/kill-and-restart.test.ts',
  'tests/contracts/store-sqlite-worker.test.ts',
  'tests/contracts/store-sqlite.test.ts',
  'tests/fuzz/intake-memory.test.ts',
  'tests/sources/r4-invariants-differential.test.ts',
  'tests/browser/documentation-page.test.ts',
  'tests/capabilities/readme-commands.test.ts',
  'tests/capabilities/deliver-to-library-servers.test.ts',
  'tests/capabilities/answers-table.test.ts',
  'tests/sources/registry-validators.test.ts',
  'src/core/fhir/session/session-bundle.test.ts',
]

/**
 * Begins the long files first and the rest as Vitest would, but those that share a process after those that do not: a
 * process is handed on from one to the next only.
 */
export class LongFilesFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files)
    return sorted.sort((a, b) => sharesProcess(a) - sharesProcess(b) || placeOf(a) - placeOf(b))
  }
}

function sharesProcess({ project }: TestSpecification): number {
  return project.config.isolate ? 0 : 1
}

function placeOf({ moduleId }: TestSpecification): number {
  const place = LONGEST.findIndex((file) => moduleId.endsWith(file))
  return place === -1 ? LONGEST.length : place
}
