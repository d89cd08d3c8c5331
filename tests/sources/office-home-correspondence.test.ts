// ACC/AHA guideline for high blood pressure in adults, 2017, doi:10.1161/HYP.0000000000000065, corresponding values of
// systolic/diastolic at the clinic, at home, by day, by night and over 24 hours; reprinted unchanged as table 7 of the
// AHA/ACC guideline of 2025.
import { describe, expect, it } from 'vitest'
import { CITATIONS } from '../../src/core/clinical/citations.ts'
import { compareWithClinic } from '../../src/core/clinical/patterns/compare-with-clinic.ts'
import { CORRESPONDENCE_TABLE } from '../../src/core/clinical/patterns/correspondence-table.ts'
import { homeAverage } from '../support/home-average.ts'

describe('the table', () => {
  it('stands as it is printed', () => {
    const printed = CORRESPONDENCE_TABLE.map(({ office, home, day, night, twentyFourHours }) =>
      [office, home, day, night, twentyFourHours].map(([s, d]) => `${s}/${d}`).join(' '),
    )
    expect(printed).toEqual([
      '120/80 120/80 120/80 100/65 115/75',
      '130/80 130/80 130/80 110/65 125/75',
      '140/90 135/85 135/85 120/70 130/80',
      '160/100 145/90 145/90 140/85 145/90',
    ])
  })

  it('was read in its source, and names both editions', () => {
    for (const { citation } of CORRESPONDENCE_TABLE) {
      expect(CITATIONS[citation].evidence).toBe('read')
      expect(CITATIONS[citation].text).toContain('2017')
      expect(CITATIONS[citation].text).toContain('2025')
    }
  })
})

describe('the row that a home mean reaches', () => {
  it.each([
    { home: [119.9, 79.9], office: [] },
    { home: [120, 70], office: ['120/80'] },
    { home: [129.9, 79.9], office: ['120/80'] },
    { home: [130, 70], office: ['130/80'] },
    // 80 is the diastolic of the first two rows: the higher of them is reached.
    { home: [110, 80], office: ['130/80'] },
    { home: [134.9, 84.9], office: ['130/80'] },
    { home: [135, 70], office: ['140/90'] },
    { home: [110, 85], office: ['140/90'] },
    { home: [144.9, 89.9], office: ['140/90'] },
    { home: [145, 70], office: ['160/100'] },
    { home: [110, 90], office: ['160/100'] },
    { home: [190, 120], office: ['160/100'] },
  ] as const)('is the one of office $office for $home', ({ home, office }) => {
    const { correspondence } = compareWithClinic(homeAverage([home]))
    expect(correspondence.map((row) => row.office.join('/'))).toEqual(office)
  })

  it('is found by the mean before it is rounded: 134.95 is not 135', () => {
    const average = homeAverage([
      [134.9, 70],
      [135, 70],
    ])
    expect(compareWithClinic(average).correspondence[0]?.office).toEqual([130, 80])
  })

  it('is that of 145/90 for a mean of 150/95, which NICE would set beside 160/100 by another rule', () => {
    expect(compareWithClinic(homeAverage([[150, 95]])).correspondence[0]?.home).toEqual([145, 90])
  })

  it('does not exist without a home mean', () => {
    expect(compareWithClinic(homeAverage([]))).toEqual({ correspondence: [], patterns: [] })
  })
})
