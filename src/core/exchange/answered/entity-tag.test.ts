import { describe, expect, it } from 'vitest'
import { entityTag, readEntityTag } from './entity-tag.ts'

describe('readEntityTag', () => {
  it.each([
    ['W/"23"', '23'],
    ['"23"', '23'],
    [' W/"a-b.c" ', 'a-b.c'],
    ['"xyzzy"', 'xyzzy'],
    ['23', '23'],
    ['W/23', '23'],
  ])('reads %s as version %s', (text, version) => {
    expect(readEntityTag(text)).toBe(version)
  })

  it.each([[''], ['""'], ['W/'], ['"a" "b"'], ['"a'], ['a b'], ['"a\nb"'], [`"${'1'.repeat(200)}"`]])(
    'reads no version in %j',
    (text) => {
      expect(readEntityTag(text)).toBeUndefined()
    },
  )

  it('reads what is written', () => {
    expect(readEntityTag(entityTag('23'))).toBe('23')
    expect(entityTag('23')).toBe('W/"23"')
  })
})
