import type { Reporter, TestModule } from 'vitest/node'

/** Ends a run with `N passed, N failed` on a line of its own, so that any log reader can tell how it went. */
export class PlainClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    let passed = 0
    let failed = 0
    for (const module of modules) {
      for (const test of module.children.allTests()) {
        if (test.result().state === 'passed') passed += 1
        if (test.result().state === 'failed') failed += 1
      }
      if (module.state() === 'failed' && failed === 0) failed += 1
    }
    process.stdout.write(`${passed} passed, ${failed} failed\n`)
  }
}
