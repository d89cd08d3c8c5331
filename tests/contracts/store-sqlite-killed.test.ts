import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { resolve } from 'node:path'
import { createInterface } from 'node:readline'
import { pathToFileURL } from 'node:url'
import { describe, expect, it } from 'vitest'
import { verifyChain } from '../../src/core/audit/chain.ts'
import { temporaryStore } from '../support/temporary-store.ts'
import { auditEntry, enrolment, RECEIVED_MS, sessionRecord } from './store-builders.ts'

const BUILT = pathToFileURL(
  resolve(process.env.GATEWAY_DIST ?? 'dist', 'shell/store/open-sqlite-store.js'),
).href

/**
 * A process that claims what is due, then accepts copies of a record for ever, corrects each in one of its lanes, and
 * prints each number acknowledged.
 */
const CHILD = `
const [built, file, text] = process.argv.slice(1)
const { openSqliteStore } = await import(built)
const store = await openSqliteStore({ file, readingsAtOnce: new Set(['clinic']), attentionAtOnce: new Set() })
await store.claim(${RECEIVED_MS}, 3600000, 10)
const record = JSON.parse(text)
const lane = async (name) => {
  for (let n = 0; ; n += 1) {
    const id = name + '-' + n
    const [answer] = await store.accept([{ ...record, id, uuid: record.uuid.slice(0, 24) + 'abcd'.indexOf(name) + String(n).padStart(11, '0') }])
    console.log(id + ' ' + answer.stored.seq)
    if (name !== 'd') continue
    const audit = { at: record.receivedAt, actor: 'source:harbour-app', action: 'session-corrected', about: '', outcome: 'done', detail: {} }
    const raw = record.raw.replace('134', '143')
    const { stored } = await store.correct({ ...record, id, uuid: answer.stored.uuid, raw }, audit)
    console.log(id + ' ' + stored.seq)
  }
}
for (const name of ['a', 'b', 'c', 'd']) lane(name)
`

/** A process that claims everything due at a destination that is marked, begins the second of it, and waits. */
const CLAIMING_CHILD = `
const [built, file] = process.argv.slice(1)
const { openSqliteStore } = await import(built)
const store = await openSqliteStore({ file, readingsAtOnce: new Set(['clinic']), attentionAtOnce: new Set() })
const claimed = await store.claim(${RECEIVED_MS}, 3600000, 10, { marked: ['clinic'] })
console.log(await store.begin(claimed[1]))
setInterval(() => {}, 1000)
`

describe('a process killed while it delivers', () => {
  it('leaves in doubt what it had begun, and nothing else of what it had claimed', async () => {
    const temporary = await temporaryStore()
    for (const subject of ['HW-1', 'HW-2', 'HW-3']) {
      await temporary.store.saveEnrolment(enrolment(subject), auditEntry('harbour-app'))
      await temporary.store.accept([sessionRecord({ id: `of-${subject}`, subject })])
    }
    await temporary.store.close()
    const child = spawn(
      process.execPath,
      ['--input-type=module', '-e', CLAIMING_CHILD, BUILT, temporary.file],
      { stdio: ['ignore', 'pipe', 'inherit'] },
    )
    const exited = once(child, 'exit')
    for await (const line of createInterface({ input: child.stdout })) {
      expect(line).toBe('true')
      child.kill('SIGKILL')
    }
    expect(await exited).toEqual([null, 'SIGKILL'])

    const store = await temporary.reopen()
    expect(await store.claim(RECEIVED_MS, 1000, 10)).toMatchObject([
      { id: 1, uncertain: false },
      { id: 3, uncertain: false },
    ])
    expect(await store.claim(RECEIVED_MS + 3_600_000, 1000, 10)).toContainEqual(
      expect.objectContaining({ id: 2, uncertain: true }),
    )
    await temporary.remove()
  })
})

describe('a process killed while it accepts', () => {
  for (const acknowledgedBeforeKill of [1, 150, 700]) {
    it(`loses nothing it acknowledged, killed after ${acknowledgedBeforeKill} acknowledgements`, async () => {
      const temporary = await temporaryStore()
      await temporary.store.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))
      await temporary.store.accept([sessionRecord({ id: 'first' })])
      await temporary.store.close()

      const record = JSON.stringify(sessionRecord({ id: 'x', subject: 'HW-2' }))
      const child = spawn(
        process.execPath,
        ['--input-type=module', '-e', CHILD, BUILT, temporary.file, record],
        {
          stdio: ['ignore', 'pipe', 'inherit'],
        },
      )
      const exited = once(child, 'exit')
      const acknowledged: string[] = []
      for await (const line of createInterface({ input: child.stdout })) {
        acknowledged.push(line)
        if (acknowledged.length === acknowledgedBeforeKill) child.kill('SIGKILL')
      }
      expect(await exited).toEqual([null, 'SIGKILL'])
      expect(acknowledged.length).toBeGreaterThanOrEqual(acknowledgedBeforeKill)

      const store = await temporary.reopen()
      for (const line of acknowledged) {
        const [id = '', seq] = line.split(' ')
        const newest = await store.session('harbour-app', id)
        const versions = await store.sessionVersions(newest?.uuid ?? '')
        expect(versions.map((one) => one.seq)).toContain(Number(seq))
        expect(versions.at(-1)).toEqual(newest)
      }
      const { auditRows } = await store.figures()
      expect(auditRows).toBe((await store.newestSeq()) + 1)
      expect(verifyChain(await store.auditPage({ limit: auditRows }))).toBeUndefined()
      // it had claimed this one for an hour, and nobody knows how far it came
      const inDoubt = { id: 1, attempts: 0, dueMs: RECEIVED_MS + 3_600_000, uncertain: true }
      expect(await store.delivery(1)).toMatchObject({ ...inDoubt, state: 'waiting', claims: 1 })
      expect(await store.claim(RECEIVED_MS + 3_599_999, 1000, 10)).toEqual([])
      expect(await store.claim(RECEIVED_MS + 3_600_000, 1000, 10)).toMatchObject([{ ...inDoubt, claims: 2 }])
      await temporary.remove()
    })
  }
})
