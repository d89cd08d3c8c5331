/** What reads our output may stop before we are done, as `head` does: a script must not take that for a good verdict. */
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'

const root = fileURLToPath(new URL('../..', import.meta.url))
/** Its output is longer than what a pipe holds. */
const LONG =
  'convert --source harbour-app --ndjson samples/sessions/HW-1001.ndjson samples/sessions/HW-1003.ndjson'

function status(line: string): number | null {
  const shell = spawnSync('bash', ['-o', 'pipefail', '-c', line], { cwd: root, stdio: 'ignore' })
  return shell.status
}

it('ends as programs do whose reader stopped, and not as done', () => {
  expect(status(`node dist/cli.js ${LONG} | true`)).toBe(141)
})

it('ends as ever for a reader that reads to the end', () => {
  expect(status(`node dist/cli.js ${LONG} | cat`)).toBe(0)
  expect(status('node dist/cli.js validate package.json | cat')).toBe(1)
})
