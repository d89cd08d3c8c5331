import { setImmediate } from 'node:timers/promises'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type OpenFlows, openFlows } from '../../../../tests/support/open-flows.ts'
import { queueSessions } from '../../../../tests/support/queued-delivery.ts'
import type { Destination } from '../../../core/registry/destination.ts'
import { PreparedEntry } from './prepared-entry.ts'

const START_MS = Date.parse('2026-03-10T12:00:00Z')

describe('PreparedEntry', () => {
  let flows: OpenFlows
  let read: number
  let rendered: number
  let isBroken: boolean

  beforeEach(async () => {
    read = 0
    rendered = 0
    isBroken = false
    flows = await openFlows({
      around: (store) => ({
        ...store,
        sessionByUuid: async (uuid) => {
          read += 1
          if (isBroken) throw new Error('the store is gone')
          return store.sessionByUuid(uuid)
        },
        // Asked each time an entry is rendered.
        enrolments: async (source, subjects) => {
          rendered += 1
          return store.enrolments(source, subjects)
        },
      }),
    })
    flows.setClock(new Date(START_MS).toISOString())
    await queueSessions({ flows })
    rendered = 0
  })
  afterEach(() => flows.close())

  async function prepared(): Promise<{ destination: Destination; one: PreparedEntry }> {
    const [entry] = await flows.ports.store.deliveryPage({ limit: 1 })
    const destination = entry && flows.ports.catalogue.destinations.get(entry.destination)
    if (entry === undefined || destination === undefined) throw new Error('nothing is queued')
    return { destination, one: new PreparedEntry(entry, flows.ports) }
  }

  const later = (ms: number) => flows.setClock(new Date(START_MS + ms).toISOString())

  it('reads its session when it is claimed, and not again when its turn comes soon', async () => {
    const { one, destination } = await prepared()
    expect(read).toBe(1)
    later(1_000)
    expect(await one.rendered(destination)).toMatchObject({ issued: '2026-03-10T12:00:00Z' })
    expect(read).toBe(1)
  })

  it('reads what waited longer anew, and so has the newest version of it', async () => {
    const { one, destination } = await prepared()
    await flows.withdraw('s-1')
    later(1_001)
    expect(JSON.stringify(await one.rendered(destination))).toContain('entered-in-error')
    expect(read).toBe(2)
  })

  it('is rendered ahead of its turn, once', async () => {
    const { one, destination } = await prepared()
    await Promise.all([one.renderAhead(), one.renderAhead()])
    expect(rendered).toBe(1)
    await one.rendered(destination)
    expect(rendered).toBe(1)
  })

  it('is rendered anew when it was rendered too long ago', async () => {
    const { one, destination } = await prepared()
    await one.renderAhead()
    later(1_001)
    await one.rendered(destination)
    expect(rendered).toBe(2)
  })

  it('is not rendered ahead when its turn has come already', async () => {
    const { one, destination } = await prepared()
    const ahead = one.renderAhead()
    await one.rendered(destination)
    await ahead
    expect(rendered).toBe(1)
  })

  it('fails for whoever wants it, and for nobody else', async () => {
    isBroken = true
    const { one, destination } = await prepared()
    await setImmediate()
    await expect(one.rendered(destination)).rejects.toThrow('the store is gone')
  })
})
