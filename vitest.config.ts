import { configDefaults, defineConfig } from 'vitest/config'
import { ALONE } from './tests/house/alone.ts'
import { LongFilesFirst } from './tests/house/long-files-first.ts'
import { PlainClosingLine } from './tests/house/plain-closing-line.ts'

export default defineConfig({
  test: {
    testTimeout: 60_000,
    hookTimeout: 60_000,
    pool: 'forks',
    // The default leaves a core to the editor of whoever watches; a run that is waited for can use them all.
    maxWorkers: '100%',
    sequence: { sequencer: LongFilesFirst },
    reporters: ['default', new PlainClosingLine()],
    projects: [
      { extends: true, test: { name: 'alone', include: ALONE } },
      {
        extends: true,
        test: {
          name: 'together',
          include: ['src/**/*.test.ts', 'tests/**/*.test.ts'],
          exclude: [...configDefaults.exclude, 'tests/bench/**', ...ALONE],
          isolate: false,
          setupFiles: 'tests/house/leaves-nothing-behind.ts',
        },
      },
    ],
  },
})
