import { expect, it } from 'vitest'
import { implausibleDays } from './period-days.ts'

const NOW = Date.parse('2026-03-02T23:59:59Z')
const told = (firstDay: string, lastDay: string) => implausibleDays({ firstDay, lastDay }, NOW)?.at

it('takes days from 1990 on, to two years ahead', () => {
  expect(told('1990-01-01', '1990-01-07')).toBeUndefined()
  expect(told('2026-03-02', '2026-03-08')).toBeUndefined()
  expect(told('2028-03-02', '2028-03-02')).toBeUndefined()
})

it('refuses a first day that no session can be of', () => {
  expect(told('1989-12-31', '1990-01-07')).toBe('firstDay')
  expect(told('1800-01-01', '1800-01-07')).toBe('firstDay')
})

it('refuses days too far ahead, naming what says so', () => {
  expect(told('2028-02-26', '2028-03-03')).toBe('days')
  expect(told('2028-03-03', '2028-03-03')).toBe('firstDay')
  expect(told('2099-01-01', '2099-01-07')).toBe('firstDay')
})

it('is not misled by a year of five digits', () => {
  expect(told('9999-12-31', '+010000-01')).toBe('firstDay')
})

it('says which days can be meant', () => {
  expect(implausibleDays({ firstDay: '2099-01-01', lastDay: '2099-01-07' }, NOW)?.expected).toBe(
    'a day from 1990-01-01 on, and none later than 2028-03-02',
  )
})
