import { configDefaults, defineConfig } from 'vitest/config'
import { LongFilesFirst } from './tests/house/long-files-first.ts'
import { PlainClosingLine } from './tests/house/plain-closing-line.ts'

export default defineConfig({
  test: {
    include: ['src/**/*.test.ts', 'tests/**/*.test.ts'],
    exclude: [...configDefaults.exclude, 'tests/bench/**'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    pool: 'forks',
    // The default leaves a core to the editor of whoever watches; a run that is waited for can use them all.
    maxWorkers: '100%',
    sequence: { sequencer: LongFilesFirst },
    reporters: ['default', new PlainClosingLine()],
  },
})
