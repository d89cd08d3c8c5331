import { describe, expect, it } from 'vitest'
import { minuteOf, windowOf } from './sitting-window.ts'

const windows = [
  { name: 'morning', from: '04:00', to: '12:00' },
  { name: 'evening', from: '12:00', to: '24:00' },
]

describe('sitting windows', () => {
  it('counts minutes from midnight, and 24:00 as the end of the day', () => {
    expect(['00:00', '06:41', '24:00'].map(minuteOf)).toEqual([0, 401, 1440])
  })

  it.each([
    { time: '03:59', name: undefined },
    { time: '04:00', name: 'morning' },
    { time: '11:59', name: 'morning' },
    { time: '12:00', name: 'evening' },
    { time: '23:59', name: 'evening' },
  ])('puts $time in $name: the start belongs to a window, the end does not', ({ time, name }) => {
    expect(windowOf(minuteOf(time), windows)?.name).toBe(name)
  })
})
