import { describe, expect, it } from 'vitest'
import { profileFiles, profileJson } from '../../../../tests/support/shipped-profiles.ts'
import { readThresholdSet } from './read-threshold-set.ts'

const good = profileJson('threshold-sets/nice-ng136-home.json') as Readonly<Record<string, unknown>>

describe('reading a threshold-set file', () => {
  it.each(profileFiles('threshold-sets'))('accepts %s, named by its id', (file) => {
    const read = readThresholdSet(profileJson(`threshold-sets/${file}`))
    expect(read.ok && `${read.value.id}.json`).toBe(file)
  })

  it('accepts a band with one bound', () => {
    const read = readThresholdSet({ ...good, bands: [{ label: 'elevated', systolicMmHg: 120 }] })
    expect(read.ok && read.value.bands).toEqual([{ label: 'elevated', systolicMmHg: 120 }])
  })

  it.each<{ what: string; change: Record<string, unknown>; at: string; expected: string }>([
    {
      what: 'a band without bounds',
      change: { bands: [{ label: 'high' }] },
      at: 'bands[0]',
      expected: 'a systolic or a diastolic lower bound',
    },
    {
      what: 'systolic bounds that fall',
      change: bands([150, 85], [135, 95]),
      at: 'bands',
      expected: 'systolic bounds that rise from band to band',
    },
    {
      what: 'diastolic bounds that stand still',
      change: bands([135, 85], [150, 85]),
      at: 'bands',
      expected: 'diastolic bounds that rise from band to band',
    },
    { what: 'no bands', change: { bands: [] }, at: 'bands', expected: 'at least 1 items' },
    {
      what: 'a bound no pressure reaches',
      change: bands([400, 85]),
      at: 'bands[0].systolicMmHg',
      expected: 'at most 300',
    },
    {
      what: 'a bound finer than a tenth',
      change: bands([135.05, 85]),
      at: 'bands[0].systolicMmHg',
      expected: 'a multiple of 0.1',
    },
    { what: 'no label below', change: { below: '' }, at: 'below', expected: 'at least 1 characters' },
    {
      what: 'an unknown setting',
      change: { setting: 'garden' },
      at: 'setting',
      expected: 'one of "home", "clinic", "ambulatory-24-hours", "ambulatory-day", "ambulatory-night"',
    },
    {
      what: 'an unknown key in a band',
      change: { bands: [{ label: 'high', systolicMmHg: 135, systolic: 135 }] },
      at: 'bands[0].systolic',
      expected: 'no such key',
    },
  ])('refuses $what at $at', ({ change, at, expected }) => {
    const read = readThresholdSet({ ...good, ...change })
    expect(read.ok ? [] : read.issues.map((issue) => [issue.code, issue.at, issue.expected])).toEqual([
      ['SETTINGS_REFUSED', at, expected],
    ])
  })
})

function bands(...bounds: readonly (readonly [systolic: number, diastolic: number])[]) {
  return {
    bands: bounds.map(([systolicMmHg, diastolicMmHg], at) => ({
      label: `band ${at}`,
      systolicMmHg,
      diastolicMmHg,
    })),
  }
}
