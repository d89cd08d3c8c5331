import { setImmediate } from 'node:timers/promises'
import { describe, expect, it } from 'vitest'
import { GroupCommit } from './group-commit.ts'

/** Commits that end when they are let go, and what each one held. */
function heldCommits() {
  const batches: number[][] = []
  const release: (() => void)[] = []
  const group = new GroupCommit<number, string>(async (records) => {
    batches.push([...records])
    await new Promise<void>((resolve) => release.push(resolve))
    if (records.includes(13)) throw new Error('the disk is full')
    return records.map((record) => `kept ${record}`)
  })
  return { batches, release, group }
}

async function turns(count: number): Promise<void> {
  for (let turn = 0; turn < count; turn += 1) await setImmediate()
}

describe('GroupCommit', () => {
  it('puts calls of the same moment into one commit and gives each its own answers', async () => {
    const { batches, release, group } = heldCommits()
    const calls = Promise.all([group.add([1]), group.add([2, 3]), group.add([4])])
    await turns(5)
    release[0]?.()
    expect(await calls).toEqual([['kept 1'], ['kept 2', 'kept 3'], ['kept 4']])
    expect(batches).toEqual([[1, 2, 3, 4]])
  })

  it('has one commit under way at a time and gathers the next meanwhile', async () => {
    const { batches, release, group } = heldCommits()
    const first = group.add([1])
    await turns(5)
    const second = [group.add([2])]
    await turns(5)
    second.push(group.add([3]))
    await turns(5)
    expect(batches).toEqual([[1]])
    release[0]?.()
    await first
    await turns(5)
    release[1]?.()
    await Promise.all(second)
    expect(batches).toEqual([[1], [2, 3]])
  })

  it('waits as long as each turn brings another call', async () => {
    const { batches, release, group } = heldCommits()
    const nextTurn = setImmediate().then(() => group.add([2]))
    const calls = [group.add([1]), nextTurn]
    await turns(6)
    release[0]?.()
    await Promise.all(calls)
    expect(batches).toEqual([[1, 2]])
  })

  it('splits between calls, never within one, when there are too many records', async () => {
    const sizes: number[] = []
    const group = new GroupCommit<number, number>(async (records) => {
      sizes.push(records.length)
      return records
    })
    const many = (count: number) => group.add(Array.from({ length: count }, (_, index) => index))
    await Promise.all([many(1500), many(500), many(1), many(5000), many(2)])
    expect(sizes).toEqual([2000, 1, 5000, 2])
  })

  it('rejects every call of a commit that failed, and no other', async () => {
    const { release, group } = heldCommits()
    const failing = Promise.allSettled([group.add([1]), group.add([13])])
    await turns(5)
    release[0]?.()
    expect((await failing).map(({ status }) => status)).toEqual(['rejected', 'rejected'])
    const next = group.add([2])
    await turns(5)
    release[1]?.()
    expect(await next).toEqual(['kept 2'])
  })
})
