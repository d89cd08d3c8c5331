/** What is piped on or kept in a file is read by programs: it has no colours unless they are asked for, in CI too. */
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'

const root = fileURLToPath(new URL('../..', import.meta.url))
const ESCAPE = '\u001b['

function printed(colours: Record<string, string>): string {
  const { CI: _, NO_COLOR: __, FORCE_COLOR: ___, ...environment } = process.env
  const ran = spawnSync(process.execPath, ['dist/cli.js', 'validate', 'package.json'], {
    cwd: root,
    encoding: 'utf8',
    env: { ...environment, ...colours },
  })
  return ran.stdout
}

it.each([
  ['as it is', {}],
  ['in CI', { CI: 'true' }],
  ['where colours are refused', { FORCE_COLOR: '1', NO_COLOR: '1' }],
])('is plain %s', (_, environment) => {
  expect(printed(environment)).not.toContain(ESCAPE)
  expect(printed(environment)).not.toBe('')
})

it('is coloured where it is asked for', () => {
  expect(printed({ FORCE_COLOR: '1' })).toContain(ESCAPE)
})
