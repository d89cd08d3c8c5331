import { describe, expect, it } from 'vitest'
import { nearestKey } from './nearest-key.ts'

const allowed = [
  'id',
  'subject',
  'takenAt',
  'arm',
  'readings',
  'systolic',
  'diastolic',
  'unit',
  'cuffFor',
  'cuffOver',
]

describe('the key that was probably meant', () => {
  it.each([
    ['takenat', 'takenAt'],
    ['taken_at', 'takenAt'],
    ['Taken-At', 'takenAt'],
    ['takentAt', 'takenAt'],
    ['tkenAt', 'takenAt'],
    ['reading', 'readings'],
    ['sys', 'systolic'],
    ['diastolc', 'diastolic'],
    ['dystolic', 'systolic'],
    ['units', 'unit'],
    ['ARM', 'arm'],
  ])('for %s is %s', (key, meant) => {
    expect(nearestKey(key, allowed)).toBe(meant)
  })

  it.each(['weather', 'x', '', 'cuff', 'heartRate', 'takenAt'.repeat(10)])('is not guessed for %j', (key) => {
    expect(nearestKey(key, allowed)).toBeUndefined()
  })
})
