/** The commands of the README work as they are printed, but for the ports, which are free ones. */
import { type ChildProcess, spawn } from 'node:child_process'
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))
const README = readFileSync(join(ROOT, 'README.md'), 'utf8')

/** Run elsewhere: the build comes before the tests, and the tests are these. */
const NOT_RUN = /^(npm |node dist\/cli\.js serve$)/

/** Each command of the shell blocks, its lines joined and without the remark behind it. */
const COMMANDS = [...README.matchAll(/^```sh\n(.*?)^```/gms)]
  .flatMap(([, block = '']) => block.replaceAll('\\\n', '').split('\n'))
  .map((line) =>
    line
      .replace(/\s+#.*$/, '')
      .replaceAll(/ {2,}/g, ' ')
      .trim(),
  )
  .filter((line) => line !== '' && !NOT_RUN.test(line))

describe('the commands of the README', () => {
  const folder = mkdtempSync(join(tmpdir(), 'readme-'))
  const background: ChildProcess[] = []
  let ports: Readonly<Record<string, number>>
  let period = ''
  beforeAll(async () => {
    ports = { 8080: await freePort(), 8104: await freePort() }
    for (const name of ['dist', 'profiles', 'mappings', 'package.json', 'node_modules']) {
      symlinkSync(join(ROOT, name), join(folder, name))
    }
    cpSync(join(ROOT, 'samples'), join(folder, 'samples'), { recursive: true })
    const settings = join(folder, 'samples', 'gateway.json')
    writeFileSync(settings, ported(readFileSync(settings, 'utf8')))
  })
  afterAll(async () => {
    for (const child of background) {
      const ended = new Promise((resolve) => child.once('close', resolve))
      child.kill('SIGTERM')
      await ended
    }
    rmSync(folder, { recursive: true, force: true })
  })

  function ported(text: string): string {
    return text.replaceAll(/\b(8080|8104)\b/g, (port) => String(ports[port]))
  }

  const environment = () => ({ ...process.env, NO_COLOR: '1', HOME_BP_LISTEN__PORT: String(ports[8080]) })

  function run(command: string): Promise<{ code: number | null; output: string }> {
    const spoken = command.replace(/^curl /, 'curl --silent --show-error --fail-with-body ')
    const child = spawn('bash', ['-o', 'pipefail', '-c', ported(spoken)], { cwd: folder, env: environment() })
    let output = ''
    child.stdout.on('data', (chunk) => {
      output += chunk
    })
    child.stderr.on('data', (chunk) => {
      output += chunk
    })
    child.stdin.end()
    return new Promise((resolve, reject) => {
      child.once('error', reject)
      child.once('close', (code) => resolve({ code, output }))
    })
  }

  /** Starts what the README leaves running, and waits until it listens. */
  async function leaveRunning(command: string): Promise<void> {
    const [program = '', ...words] = ported(command).split(' ')
    const child = spawn(program, words, { cwd: folder, env: environment(), stdio: 'ignore' })
    background.push(child)
    const port = command.includes('8104') ? 8104 : 8080
    await expect
      .poll(async () => (await run(`curl --output /dev/null localhost:${port}/nothing`)).output, {
        timeout: 30_000,
      })
      .toContain('404')
  }

  it('are found', () => {
    expect(COMMANDS.filter((one) => one.startsWith('curl ')).length).toBeGreaterThan(5)
    expect(COMMANDS.filter((one) => one.startsWith('node ')).length).toBeGreaterThan(10)
  })

  it.each(COMMANDS)('%s', async (command) => {
    if (command.endsWith(' &')) return leaveRunning(command.slice(0, -2))
    const { code, output } = await run(command.replace('PERIOD', period))
    expect([code, output]).toEqual([0, expect.any(String)])
    if (command.startsWith('curl -X POST localhost:8080/periods ')) period = JSON.parse(output).id
  })
})

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer()
    server.once('error', reject)
    server.listen(0, '127.0.0.1', () => {
      const address = server.address()
      server.close(() => resolve(typeof address === 'object' && address !== null ? address.port : 0))
    })
  })
}
