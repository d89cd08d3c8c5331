import { describe, expect, it } from 'vitest'
import { ReadyAhead } from './ready-ahead.ts'

describe('ReadyAhead', () => {
  it('makes one ready after the other, and looks each time who is next', async () => {
    const [first, second, third, late] = [{}, {}, {}, {}]
    let next = [first, second, third]
    const made: object[] = []
    let underWay = 0
    const ahead = new ReadyAhead<object>(
      async (item) => {
        underWay += 1
        expect(underWay).toBe(1)
        await new Promise((resolve) => setImmediate(resolve))
        underWay -= 1
        made.push(item)
        if (item === first) next = [late, third]
      },
      () => next,
    )
    await Promise.all([ahead.goOn(), ahead.goOn()])
    expect(made).toEqual([first, late, third])
  })

  it('makes nothing ready twice, and goes on when there is more', async () => {
    const [first, second] = [{ id: 1 }, { id: 2 }]
    let next = [first]
    const made: number[] = []
    const ahead = new ReadyAhead<{ id: number }>(
      async ({ id }) => {
        made.push(id)
      },
      () => next,
    )
    await ahead.goOn()
    await ahead.goOn()
    next = [first, second]
    await ahead.goOn()
    expect(made).toEqual([1, 2])
  })
})
