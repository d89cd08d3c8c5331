import { describe, expect, it } from 'vitest'
import { formedTime, numberText, RFC_3339 } from './convert-value.ts'
import { compileTimeForm } from './forms/time-form.ts'

const form = compileTimeForm('DD.MM.YYYY HH:mm')
if (typeof form === 'string') throw new Error(form)

describe('a text that does not convert is told by what it is made of, never by what it says', () => {
  it.each([
    [
      numberText(','),
      '131.5',
      'a number with a decimal comma and nothing else, not a text of digits and a point',
    ],
    [
      numberText('.'),
      '131/84',
      'a number with a decimal point and nothing else, not a text of digits and a slash',
    ],
    [numberText('.'), '', 'a number with a decimal point and nothing else, not empty'],
    [
      numberText('.'),
      '1234567890123456',
      'a number with a decimal point and nothing else, of 15 digits at most',
    ],
    [
      formedTime(form, undefined),
      '2026-03-02',
      'a time written as DD.MM.YYYY HH:mm, not a text of digits and a hyphen',
    ],
    [formedTime(form, undefined), '31.02.2026 07:00', 'a time written as DD.MM.YYYY HH:mm, that exists'],
    [
      RFC_3339,
      'early',
      'RFC 3339 with seconds and offset, such as 2026-03-02T06:41:00-07:00, not a text of letters',
    ],
  ])('%#', ({ convert }, text, expected) => {
    expect(convert(text)).toMatchObject({ expected })
  })
})
