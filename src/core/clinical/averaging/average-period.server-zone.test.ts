import { execFile } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { expect, it } from 'vitest'

const program = fileURLToPath(
  new URL('../../../../tests/support/average-of-published-week.ts', import.meta.url),
)

it('is the same average wherever the server stands: its own time zone never matters', async () => {
  const zones = ['UTC', 'Pacific/Kiritimati', 'Pacific/Pago_Pago']
  const runs = await Promise.all(zones.map(runIn))
  // Minutes behind UTC: the server's zone was really another one each time.
  expect(runs.map(({ serverOffsetMinutes }) => serverOffsetMinutes)).toEqual([0, -840, 660])
  expect(new Set(runs.map(({ text }) => text)).size).toBe(1)
  expect(runs[0]?.text).toContain('"received":28')
}, 60_000)

async function runIn(zone: string): Promise<{ serverOffsetMinutes: number; text: string }> {
  const { stdout } = await promisify(execFile)(process.execPath, ['--import', 'tsx', program], {
    env: { ...process.env, TZ: zone },
  })
  return JSON.parse(stdout)
}
