import { expect, it } from 'vitest'
import { narrativeText } from './narrative-text.ts'

it('replaces what XML cannot hold and keeps every other character', () => {
  expect(narrativeText(['a\u0000b\uD800c \u{1F600} é']).div).toBe(
    '<div xmlns="http://www.w3.org/1999/xhtml"><p>a\uFFFDb\uFFFDc \u{1F600} é</p></div>',
  )
})
