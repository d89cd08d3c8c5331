import { expect, it } from 'vitest'
import { isLanguageTag } from './language-tags.ts'

it.each([
  'en',
  'EN-us',
  'nl-NL',
  'haw',
  'zh-Hant-TW',
  'zh-cmn-Hans-CN',
  'sl-rozaj-biske',
  'de-CH-1996',
  'es-419',
  'de-DE-u-co-phonebk',
  'en-a-bbb-x-a-ccc',
  'x-clinic',
  'i-klingon',
  'sgn-BE-FR',
])('is a language tag: %s', (tag) => {
  expect(isLanguageTag(tag)).toBe(true)
})

it.each([
  '',
  '!!',
  'e',
  'en_US',
  'en-',
  '-en',
  'en--US',
  'en US',
  'english',
  'de-419-DE',
  'a-DE',
  'en-u',
  'x-',
  'i-unknown',
  '1a',
  'en-toolongpart',
])('is none: %s', (tag) => {
  expect(isLanguageTag(tag)).toBe(false)
})

it('takes any text in linear time', () => {
  const started = performance.now()
  expect(isLanguageTag(`en${'-abcde'.repeat(166)}!`)).toBe(false)
  expect(isLanguageTag(`en${'-a-bb'.repeat(199)}!`)).toBe(false)
  expect(isLanguageTag('x-1'.repeat(1_000_000))).toBe(false)
  expect(performance.now() - started).toBeLessThan(1000)
})
