import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readInstant } from '../../basics/instant.ts'
import { compileTimeForm, type TimeForm } from './time-form.ts'
import { TIME_FORM_EXPECTED } from './time-form-fault.ts'

function compiled(form: string): TimeForm {
  const found = compileTimeForm(form)
  if (typeof found === 'string') throw new Error(`${form}: ${found}`)
  return found
}

describe('a declared form of date and time', () => {
  it.each([
    ['DD.MM.YYYY HH:mm', '03.04.2026 07:10', '2026-04-03T07:10:00'],
    ['MM/DD/YYYY HH:mm', '03/04/2026 07:10', '2026-03-04T07:10:00'],
    ['YYYY-MM-DDTHH:mm:ss', '2026-03-04T07:10:59', '2026-03-04T07:10:59'],
    ['YYYY-MM-DD HH:mm', '2024-02-29 23:59', '2024-02-29T23:59:00'],
    ['YYYYMMDDHHmmss', '20260304071059', '2026-03-04T07:10:59'],
    ['HH:mm, DD-MM-YYYY', '07:10, 04-03-2026', '2026-03-04T07:10:00'],
    ['MM/DD/YYYY hh:mm A', '03/04/2026 12:05 AM', '2026-03-04T00:05:00'],
    ['MM/DD/YYYY hh:mm A', '03/04/2026 12:05 pm', '2026-03-04T12:05:00'],
    ['MM/DD/YYYY hh:mm A', '03/04/2026 11:05 PM', '2026-03-04T23:05:00'],
    ['MM/DD/YYYY hh:mmA', '03/04/2026 01:05am', '2026-03-04T01:05:00'],
    ['YYYY-MM-DD HH:mmZ', '2026-03-04 07:10+0100', '2026-03-04T07:10:00+01:00'],
    ['YYYY-MM-DD HH:mm Z', '2026-03-04 07:10 -07:00', '2026-03-04T07:10:00-07:00'],
    ['YYYY-MM-DDTHH:mm:ssZ', '2026-03-04T07:10:00Z', '2026-03-04T07:10:00Z'],
    ['YYYY-MM-DDTHH:mm:ssZ', '2026-03-04T07:10:00+14:00', '2026-03-04T07:10:00+14:00'],
  ])('%s reads %s as %s', (form, text, read) => {
    expect(compiled(form).read(text)).toBe(read)
  })

  it.each([
    ['DD.MM.YYYY HH:mm', '', 'empty'],
    ['DD.MM.YYYY HH:mm', '3.4.2026 07:10', 'other-form'],
    ['DD.MM.YYYY HH:mm', '03.04.26 07:10', 'other-form'],
    ['DD.MM.YYYY HH:mm', '03.04.2026', 'other-form'],
    ['DD.MM.YYYY HH:mm', ' 03.04.2026 07:10', 'other-form'],
    ['DD.MM.YYYY HH:mm', '03.04.2026 07:10\n', 'other-form'],
    ['DD.MM.YYYY HH:mm', '03.04.2026 07:10:00', 'other-form'],
    ['DD.MM.YYYY HH:mm', '03x04x2026 07:10', 'other-form'],
    ['DD.MM.YYYY HH:mm', '46085', 'other-form'],
    ['DD.MM.YYYY HH:mm', '03.Apr.2026 07:10', 'other-form'],
    ['DD.MM.YYYY HH:mm', '30.02.2026 07:10', 'no-such-day'],
    ['DD.MM.YYYY HH:mm', '29.02.2100 07:10', 'no-such-day'],
    ['DD.MM.YYYY HH:mm', '00.02.2026 07:10', 'no-such-day'],
    ['DD.MM.YYYY HH:mm', '13.14.2026 07:10', 'no-such-day'],
    ['YYYY-DD-MM HH:mm', '2026-02-29 07:10', 'no-such-day'],
    ['DD.MM.YYYY HH:mm', '01.01.0000 07:10', 'no-such-day'],
    ['DD.MM.YYYY HH:mm', '03.04.2026 24:00', 'no-such-time'],
    ['DD.MM.YYYY HH:mm', '03.04.2026 07:60', 'no-such-time'],
    ['YYYY-MM-DD HH:mm:ss', '2026-03-04 07:10:60', 'no-such-time'],
    ['MM/DD/YYYY hh:mm A', '03/04/2026 13:05 PM', 'no-such-time'],
    ['MM/DD/YYYY hh:mm A', '03/04/2026 00:05 AM', 'no-such-time'],
    ['MM/DD/YYYY hh:mm A', '03/04/2026 07:05', 'other-form'],
    ['YYYY-MM-DD HH:mmZ', '2026-03-04 07:10', 'other-form'],
    ['YYYY-MM-DD HH:mmZ', '2026-03-04 07:10 CET', 'other-form'],
    ['YYYY-MM-DD HH:mmZ', '2026-03-04 07:10+15:00', 'no-such-time'],
    ['YYYY-MM-DD HH:mmZ', '2026-03-04 07:10+14:30', 'no-such-time'],
  ])('%s refuses %j: %s', (form, text, problem) => {
    expect(compiled(form).read(text)).toEqual({ problem, swapped: false })
  })

  it.each([
    ['MM/DD/YYYY HH:mm', '13/04/2026 07:10'],
    ['DD.MM.YYYY HH:mm', '04.13.2026 07:10'],
    ['YYYY-DD-MM HH:mm', '2024-02-29 07:10'],
  ])('%s tells that %s would be a day with day and month exchanged', (form, text) => {
    expect(compiled(form).read(text)).toEqual({ problem: 'no-such-day', swapped: true })
  })

  it('says whether its texts carry their offset', () => {
    expect(compiled('YYYY-MM-DD HH:mmZ').hasOffset).toBe(true)
    expect(compiled('YYYY-MM-DD HH:mm').hasOffset).toBe(false)
  })

  it.each([
    ['DD.MM.YY HH:mm', 'two-digit-year'],
    ['DD MMM YYYY HH:mm', 'month-name'],
    ['DD MMMM YYYY HH:mm', 'month-name'],
    ['D.M.YYYY HH:mm', 'unknown-sign'],
    ['DD.MM.YYYY HH:mm:ss.SSS', 'unknown-sign'],
    ['DD.MM.YYYY H:mm', 'unknown-sign'],
    ['DD.MM.YYYY kl HH:mm', 'unknown-sign'],
    ['1DD.MM.YYYY HH:mm', 'unknown-sign'],
    ['', 'no-date'],
    ['HH:mm', 'no-date'],
    ['DD.MM HH:mm', 'no-date'],
    ['DD.YYYY HH:mm', 'no-date'],
    ['DD.MM.YYYY', 'no-time'],
    ['DD.MM.YYYY HH', 'no-time'],
    ['DD.MM.YYYY hh:mm', 'half-missing'],
    ['DD.MM.YYYY HH:mm A', 'half-unneeded'],
    ['DD.MM.YYYY HH:mm hh A', 'two-hours'],
    ['DD.MM.YYYY HH:mm DD', 'repeated'],
    ['DD.MM.YYYY ZHH:mm', 'offset-not-last'],
    [`DD.MM.YYYY HH:mm${' '.repeat(60)}`, 'too-long'],
  ] as const)('is refused as %s: %s', (form, fault) => {
    expect(compileTimeForm(form)).toBe(fault)
    expect(TIME_FORM_EXPECTED[fault].length).toBeGreaterThan(0)
  })

  it('reads every minute it was written from, to the same moment', () => {
    const form = compiled('DD.MM.YYYY HH:mm')
    fc.assert(
      fc.property(
        fc.date({
          min: new Date('0001-01-01T00:00Z'),
          max: new Date('9999-12-31T23:59Z'),
          noInvalidDate: true,
        }),
        (date) => {
          const iso = date.toISOString()
          const [year, month, day] = iso.slice(0, 10).split('-')
          const read = form.read(`${day}.${month}.${year} ${iso.slice(11, 16)}`)
          expect(read).toBe(`${iso.slice(0, 16)}:00`)
        },
      ),
    )
  })

  it('gives nothing but what the session record can read, whatever the text', () => {
    const forms = ['DD.MM.YYYY HH:mm', 'MM/DD/YYYY hh:mm A', 'YYYY-MM-DD HH:mm:ssZ'].map(compiled)
    const nearTime = fc
      .array(fc.constantFrom(...'0123456789./-: +ZAPMapm'), { maxLength: 26 })
      .map((signs) => signs.join(''))
    const dateLike = fc.stringMatching(
      /^\d\d[./]\d\d[./]20\d\d [0-2]\d:[0-6]\d( [AP]M)?$|^20\d\d-[01]\d-\d\d \d\d:\d\d:\d\d[+-]\d\d:?\d\d$/,
    )
    fc.assert(
      fc.property(fc.oneof(dateLike, nearTime, fc.string({ unit: 'binary' })), (text) => {
        for (const form of forms) {
          const read = form.read(text)
          if (typeof read !== 'string') continue
          expect(readInstant(form.hasOffset ? read : `${read}Z`)).toBeDefined()
        }
      }),
      { numRuns: 2000 },
    )
  })
})
