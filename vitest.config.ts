import { configDefaults, defineConfig } from 'vitest/config'
import { PlainClosingLine } from './tests/house/plain-closing-line.ts'

export default defineConfig({
  test: {
    include: ['src/**/*.test.ts', 'tests/**/*.test.ts'],
    exclude: [...configDefaults.exclude, 'tests/bench/**'],
    testTimeout: 30_000,
    hookTimeout: 60_000,
    pool: 'forks',
    reporters: ['default', new PlainClosingLine()],
  },
})
