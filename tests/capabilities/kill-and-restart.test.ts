import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Bundle, Resource } from 'fhir/r4.js'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { seededRandom } from '../../samples/generator/seeded-random.ts'
import { type ClinicServer, startClinicServer } from '../../src/shell/cli/demo/clinic-server.ts'
import { readScenario } from '../../src/shell/cli/demo/scenario.ts'
import { openSqliteStore } from '../../src/shell/store/open-sqlite-store.ts'
import { acknowledged, type DemoProcess, startDemo } from '../support/demo-process.ts'

/**
 * The demo is killed with SIGKILL at random moments of its life, 8 of them or `KILL_MOMENTS`, and started again. Whatever
 * moment it was, nothing it acknowledged may be missing, and nothing may stand twice on the clinic's server.
 */
const MOMENTS = Number(process.env.KILL_MOMENTS ?? 8)
const SEED = 20_261_124

const patients = readScenario().people.map(({ name, patient }) => ({ name, identifier: patient }))
const folder = mkdtempSync(join(tmpdir(), 'kill-and-restart-'))
let undisturbed: Record<string, number>
let undisturbedMs: number

beforeAll(async () => {
  const clinic = await startClinicServer({ patients })
  const start = performance.now()
  await startDemo(join(folder, 'undisturbed'), clinic.baseUrl).ended
  undisturbedMs = performance.now() - start
  undisturbed = await clinic.counts()
  await clinic.close()
})

afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('a demo killed at a random moment and started again', () => {
  const random = seededRandom(SEED)
  const moments = Array.from({ length: MOMENTS }, (_, index) => ({ index: index + 1, share: random.next() }))

  it.each(moments)('loses nothing and doubles nothing, kill $index', async ({ index, share }) => {
    const clinic = await startClinicServer({ patients })
    try {
      const data = join(folder, `kill-${index}`)
      const first = startDemo(data, clinic.baseUrl)
      await killAfter(first, share * undisturbedMs)
      const second = startDemo(data, clinic.baseUrl)
      expect(await second.ended).toBe(0)

      expect(await missingFrom(join(data, 'gateway.db'), first)).toEqual([])
      expect(await clinic.counts()).toEqual(undisturbed)
      expect(await doubledAt(clinic)).toEqual([])
    } finally {
      await clinic.close()
    }
  })
})

async function killAfter(demo: DemoProcess, ms: number): Promise<void> {
  const timer = setTimeout(() => demo.child.kill('SIGKILL'), ms)
  await demo.ended
  clearTimeout(timer)
}

/** Sessions the first process acknowledged that the store does not hold. */
async function missingFrom(file: string, first: DemoProcess): Promise<readonly string[]> {
  const store = await openSqliteStore({
    file,
    readingsAtOnce: new Set(),
    attentionAtOnce: new Set(),
    inThread: true,
  })
  try {
    const uuids = acknowledged(first.steps)
    const held = await Promise.all(uuids.map((uuid) => store.sessionByUuid(uuid)))
    return uuids.filter((_, place) => held[place] === undefined)
  } finally {
    await store.close()
  }
}

/** Business identifiers, or tags where a resource has no identifier, that more than one resource carries. */
async function doubledAt(clinic: ClinicServer): Promise<readonly string[]> {
  const seen = new Map<string, number>()
  for (const type of ['Observation', 'Device', 'Provenance']) {
    const answer = await fetch(`${clinic.baseUrl}/${type}?_count=1000`)
    const { entry = [] } = (await answer.json()) as Bundle<Resource & { identifier?: { value: string }[] }>
    for (const { resource } of entry) {
      const key = `${type} ${resource?.identifier?.[0]?.value ?? resource?.meta?.tag?.[0]?.code}`
      seen.set(key, (seen.get(key) ?? 0) + 1)
    }
  }
  expect(seen.size).toBeGreaterThan(0)
  return [...seen].filter(([, count]) => count > 1).map(([key]) => key)
}
