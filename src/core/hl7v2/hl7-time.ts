/**
 * A time of FHIR or RFC 3339 in HL7's form, with the offset it was written with: `2026-03-02T06:41:00.25-07:00` is
 * `20260302064100.25-0700`. `Z` is `+0000`. A fraction has four digits at most; further ones are cut, because rounding
 * could make it another second. A year, a month or a day alone stays that.
 * Source: HL7 v2.5.1 section 2.A.22, DTM: `YYYY[MM[DD[HH[MM[SS[.S[S[S[S]]]]]]]]][+/-ZZZZ]`.
 *
 * @throws TypeError when it is no such time.
 */
export function hl7Time(text: string): string {
  const parts = R4_TIME.exec(text)
  if (parts === null) throw new TypeError('only a time that FHIR can read can be written for HL7 v2')
  const [, date = '', time = '', fraction = '', offset = ''] = parts
  const day = date.replaceAll('-', '')
  if (time === '') return day
  const cut = fraction === '' ? '' : `.${fraction.slice(0, 4)}`
  const zone = offset === 'Z' ? '+0000' : offset.replace(':', '')
  return `${day}${time.replaceAll(':', '')}${cut}${zone}`
}

const R4_TIME =
  /^(\d{4}(?:-\d{2}(?:-\d{2})?)?)(?:(?<=-\d{2}-\d{2})T(\d{2}:\d{2}:\d{2})(?:\.(\d+))?(Z|[+-]\d{2}:\d{2}))?$/
