import { describe, expect, it, vi } from 'vitest'
import { DeliveryPool, type PoolWork } from './delivery-pool.ts'

interface Item {
  readonly id: number
  readonly destination: string
}

/** Items that are due, taken as a store would give them, and what was going on at the same time. */
function played(due: Item[], changes: Partial<PoolWork<Item>> = {}) {
  const open = new Map<string, (() => void)[]>()
  const seen = { underWay: 0, most: 0, claims: 0, begun: [] as number[], done: [] as number[] }
  const work: PoolWork<Item> = {
    size: 4,
    destinations: 1,
    destinationOf: ({ destination }) => destination,
    claim: (limit, busy) => {
      seen.claims += 1
      const taken = due.filter(({ destination }) => !busy.includes(destination)).slice(0, limit)
      for (const one of taken) due.splice(due.indexOf(one), 1)
      return Promise.resolve(taken)
    },
    makeReady: () => Promise.resolve(),
    attempt: async ({ id, destination }) => {
      seen.begun.push(id)
      seen.underWay += 1
      seen.most = Math.max(seen.most, seen.underWay)
      if (open.has(destination)) await new Promise<void>((resolve) => open.get(destination)?.push(resolve))
      else await new Promise((resolve) => setImmediate(resolve))
      seen.underWay -= 1
      return async () => {
        seen.done.push(id)
      }
    },
    keep: () => Promise.resolve(true),
    refresh: () => Promise.resolve(),
    ...changes,
  }
  return {
    seen,
    pool: new DeliveryPool(work),
    /** From now on attempts at a destination take until they are let go. */
    hold: (destination: string) => open.set(destination, []),
    letGo: (destination: string) => {
      for (const resolve of open.get(destination) ?? []) resolve()
      open.delete(destination)
    },
  }
}

const items = (count: number, destination = 'one', from = 0): Item[] =>
  Array.from({ length: count }, (_, index) => ({ id: from + index, destination }))

const settled = async (condition: () => boolean) => {
  for (let turns = 0; turns < 1000 && !condition(); turns += 1) {
    await new Promise((resolve) => setImmediate(resolve))
  }
}

describe('DeliveryPool', () => {
  it('does everything that is due, and no more at a time than there are places', async () => {
    const { pool, seen } = played(items(50))
    await pool.run()
    expect(seen.done.toSorted((one, other) => one - other)).toEqual(items(50).map(({ id }) => id))
    expect(seen.most).toBe(4)
  })

  it('asks for several at a time, and once more to know that there is nothing', async () => {
    const { pool, seen } = played(items(100), { size: 8 })
    await pool.run()
    expect(seen.claims).toBeLessThan(40)
  })

  it('does not let one slow destination hold the others', async () => {
    const due = [...items(20, 'slow'), ...items(20, 'quick', 100)]
    const { pool, seen, hold, letGo } = played(due, { destinations: 2 })
    hold('slow')
    const running = pool.run()
    await settled(() => seen.done.length === 20)
    expect(seen.done.every((id) => id >= 100)).toBe(true)
    expect(seen.done).toHaveLength(20)
    letGo('slow')
    await running
    expect(seen.done).toHaveLength(40)
  })

  it('takes a place as soon as it is free, whatever the rest is doing', async () => {
    const due = [...items(1, 'slow'), ...items(12, 'quick', 100)]
    const { pool, seen, hold, letGo } = played(due, { destinations: 2, size: 2 })
    hold('slow')
    const running = pool.run()
    await settled(() => seen.done.length === 12)
    expect(seen.done).toHaveLength(12)
    letGo('slow')
    await running
  })

  it('lets what is under way end when the store fails, and then fails', async () => {
    const failure = new Error('the disk is full')
    const { pool, seen } = played(items(10), {
      attempt: ({ id }) =>
        Promise.resolve(async () => {
          if (id === 3) throw failure
          seen.done.push(id)
        }),
    })
    await expect(pool.run()).rejects.toBe(failure)
    expect(seen.done.length).toBeGreaterThan(0)
    expect(seen.underWay).toBe(0)
  })

  it('settles what was done just before the next claim, together', async () => {
    const due = items(64)
    const calls: string[] = []
    const { pool } = played([], {
      size: 1,
      claim: (limit) => {
        calls.push('claim')
        return Promise.resolve(due.splice(0, limit))
      },
      attempt: async () => {
        await new Promise((resolve) => setImmediate(resolve))
        return async () => {
          calls.push('settle')
        }
      },
    })
    await pool.run()
    expect(calls.filter((call) => call === 'settle')).toHaveLength(64)
    expect(calls.join(' ')).toContain('settle settle settle settle claim')
    expect(calls.at(-1)).toBe('claim')
  })

  it('settles within a moment what nothing else is waited for with', async () => {
    const due = [...items(1, 'quick'), ...items(30, 'slow', 100)]
    const { pool, seen, hold, letGo } = played(due, { destinations: 2, size: 2 })
    hold('slow')
    const running = pool.run()
    await vi.waitFor(() => expect(seen.done).toEqual([0]))
    letGo('slow')
    await running
    expect(seen.done).toHaveLength(31)
  })

  it('claims more ahead where much is due and is done fast, and few where each takes long', async () => {
    const most = async (count: number, attempt?: PoolWork<Item>['attempt']) => {
      const due = items(count)
      const limits: number[] = []
      const { pool } = played([], {
        size: 1,
        claim: (limit) => {
          limits.push(limit)
          return Promise.resolve(due.splice(0, limit))
        },
        ...(attempt === undefined ? {} : { attempt }),
      })
      await pool.run()
      return Math.max(...limits)
    }
    const slowly = async () => {
      await new Promise((resolve) => setTimeout(resolve, 25))
      return undefined
    }
    expect(await most(2_000)).toBeGreaterThan(32)
    // As many as are left places and the fewest ahead.
    expect(await most(40, slowly)).toBe(9)
  })

  it('makes the next one ready while others are under way', async () => {
    const ready: number[] = []
    const makeReady = async ({ id }: Item) => {
      ready.push(id)
    }
    const { pool, hold, letGo } = played(items(4), { size: 2, makeReady })
    hold('one')
    const running = pool.run()
    await settled(() => ready.length > 0)
    // How fast it goes is not known before anything was done.
    expect(ready).toEqual([2])
    letGo('one')
    await running
  })

  it('makes as many ready as will be begun soon, but no more than there are places', async () => {
    const ready: number[] = []
    const makeReady = async ({ id }: Item) => {
      ready.push(id)
    }
    const due = items(40)
    const { pool, seen, hold, letGo } = played(due, { size: 4, makeReady })
    const running = pool.run()
    await settled(() => seen.done.length >= 12)
    hold('one')
    await settled(() => seen.underWay === 4)
    const begun = Math.max(...seen.begun)
    await settled(() => ready.at(-1) === begun + 4)
    expect(ready.at(-1)).toBe(begun + 4)
    letGo('one')
    await running
  })

  it('ends at once when nothing is due', async () => {
    const { pool, seen } = played([])
    await pool.run()
    expect(seen).toMatchObject({ claims: 1, done: [] })
  })
})
