import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { escapeText, unescapeText } from './escape-text.ts'

describe('escapeText and unescapeText', () => {
  it('give back any text, with its line breaks as LF', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        expect(unescapeText(escapeText(text))).toBe(text.replace(/\r\n|\r|\n/g, '\n'))
      }),
    )
  })

  it('leave no separator and no control character in a field', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const written = escapeText(text)
        expect(written).not.toMatch(/[|^&~]|\p{Cc}/u)
        expect(written.split('\\').length % 2).toBe(1)
      }),
    )
  })

  it('write a control character as bytes, so that no VT or FS cuts the frame', () => {
    expect(escapeText('a\u000bb\u001cc\td')).toBe('a\\X0B\\b\\X1C\\c\\X09\\d')
    expect(escapeText('\u0085')).toBe('\\XC285\\')
  })

  it('leave letters beyond ASCII as they are', () => {
    expect(escapeText('Zoë 10 µg 血压')).toBe('Zoë 10 µg 血压')
  })

  it('read what others write: other separators, highlights, lines, bytes', () => {
    const others = { field: '#', component: '*', repetition: '+', escape: '!', subcomponent: '%' }
    expect(unescapeText('a!F!b!S!c!R!d!T!e!E!f', others)).toBe('a#b*c+d%e!f')
    expect(unescapeText('\\H\\high\\N\\ \\.in+4\\in\\.sp2\\out\\.ce\\mid')).toBe('high in\nout\nmid')
    expect(unescapeText('\\X48656C6C6F\\')).toBe('Hello')
  })

  it('read what follows a mark that nobody escaped', () => {
    expect(unescapeText('5\\ foo \\T\\ bar')).toBe('5\\ foo & bar')
    expect(unescapeText('C:\\dir\\F\\file')).toBe('C:\\dir|file')
    expect(unescapeText('\\\\T\\')).toBe('\\&')
    expect(unescapeText('\\Z01\\E\\')).toBe('\\Z01\\E\\')
  })

  it('keep a sequence that means nothing here as it is', () => {
    for (const text of ['\\Z01\\', '\\C2842\\', '\\M2442\\', '\\X4\\', '\\', 'a\\b', '\\unknown\\'])
      expect(unescapeText(text)).toBe(text)
  })
})

const anyText = fc.string({
  unit: fc.oneof(
    fc.constantFrom('|', '^', '&', '~', '\\', '\r', '\n', '\r\n', '\u000b', '\u001c'),
    fc.constantFrom('E', 'F', '.br', 'X', '0'),
    fc.string({ unit: 'binary', minLength: 1, maxLength: 1 }),
  ),
})
