// NICE guideline NG136 (2019, amended 2022 and 2023): masked hypertension is a clinic reading below 140/90 with a higher mean
// outside; a white-coat effect is a difference of more than 20/10 mmHg; home is high from 135/85.
// AHA/ACC guideline 2025, table 9: high at the office and not outside is white-coat hypertension, or white-coat effect in
// treated people; high outside and not at the office is masked hypertension, or masked uncontrolled hypertension in
// treated people; outside is high from 130/80 awake or 125/75 over 24 hours. Home 130/80 is from its table 7.
// ESH, as other publications state it: office from 140/90, home from 135/85.
import { describe, expect, it } from 'vitest'
import { compareWithClinic } from '../../src/core/clinical/patterns/compare-with-clinic.ts'
import { homeAverage } from '../support/home-average.ts'
import { homeSitting, type Numbers } from '../support/home-sitting.ts'

function clinic(...readings: readonly Numbers[]) {
  return homeSitting({ at: '2026-03-02T10:00:00Z', setting: 'clinic', readings })
}

function patterns(clinicReading: Numbers, home: readonly [number, number]) {
  const { patterns: found } = compareWithClinic(homeAverage([home], [clinic(clinicReading)]))
  return Object.fromEntries(found.map((one) => [one.system, one]))
}

describe('the same two means', () => {
  it('are masked by AHA/ACC and by nobody else at 126/78 and 132/78', () => {
    const found = patterns([126, 78], [132, 78])
    expect(found['AHA/ACC 2025']?.name).toMatch(/masked hypertension, or masked uncontrolled/)
    expect(found['NICE NG136']?.name).toBe('high neither at the clinic nor at home')
    expect(found.ESH?.name).toBe('high neither at the clinic nor at home')
  })

  it('are masked by NICE and ESH, and high at both by AHA/ACC, at 136/84 and 138/84', () => {
    const found = patterns([136, 84], [138, 84])
    expect(found['NICE NG136']?.name).toBe('the pattern it calls masked hypertension')
    expect(found.ESH?.name).toMatch(/masked hypertension/)
    expect(found['AHA/ACC 2025']?.name).toBe('high at the clinic and at home')
  })

  it('are white-coat by ESH, and high at both by AHA/ACC, at 142/88 and 132/82', () => {
    const found = patterns([142, 88], [132, 82])
    expect(found.ESH?.name).toMatch(/white-coat hypertension/)
    expect(found['NICE NG136']?.name).toMatch(/^high at the clinic and not at home/)
    expect(found['AHA/ACC 2025']?.name).toBe('high at the clinic and at home')
  })

  it('are white-coat by AHA/ACC alone, with both its names, at 134/78 and 124/76', () => {
    const found = patterns([134, 78], [124, 76])
    expect(found['AHA/ACC 2025']?.name).toMatch(/white-coat hypertension, or white-coat effect when treated/)
    expect(found['NICE NG136']?.name).toBe('high neither at the clinic nor at home')
    expect(found.ESH?.name).toBe('high neither at the clinic nor at home')
  })
})

describe('the limits', () => {
  it.each([
    { clinic: [139.9, 89.9], home: [134.9, 84.9], system: 'NICE NG136', high: [false, false] },
    { clinic: [140, 70], home: [135, 70], system: 'NICE NG136', high: [true, true] },
    { clinic: [120, 90], home: [110, 85], system: 'NICE NG136', high: [true, true] },
    { clinic: [129.9, 79.9], home: [129.9, 79.9], system: 'AHA/ACC 2025', high: [false, false] },
    { clinic: [130, 70], home: [130, 70], system: 'AHA/ACC 2025', high: [true, true] },
    { clinic: [110, 80], home: [110, 80], system: 'AHA/ACC 2025', high: [true, true] },
    { clinic: [139.9, 89.9], home: [134.9, 84.9], system: 'ESH', high: [false, false] },
    { clinic: [140, 70], home: [135, 70], system: 'ESH', high: [true, true] },
  ] as const)('of $system for $clinic and $home', ({ clinic: measured, home, system, high }) => {
    const found = patterns(measured, home)[system]
    expect([found?.clinicHigh, found?.homeHigh]).toEqual(high)
  })
})

describe('the white-coat effect of NICE', () => {
  it.each([
    { clinic: [160, 80], home: [140, 80], effect: false },
    { clinic: [160.1, 80], home: [140, 80], effect: true },
    { clinic: [150, 95], home: [140, 85], effect: false },
    { clinic: [150, 95.1], home: [140, 85], effect: true },
    { clinic: [120, 70], home: [150, 90], effect: false },
  ] as const)('of $clinic over $home is told: $effect', ({ clinic: measured, home, effect }) => {
    expect(/white-coat effect/.test(patterns(measured, home)['NICE NG136']?.name ?? '')).toBe(effect)
  })
})

describe('the clinic mean', () => {
  it('is that of the complete clinic readings, each of the same weight', () => {
    const sittings = [
      clinic([150, 90], [140, 80]),
      { ...clinic([132, 84], [null, 80]), receivedMs: 0 },
      { ...clinic([200, 120]), withdrawn: true },
      homeSitting({ at: '2026-03-02T11:00:00Z', setting: 'public-kiosk', readings: [[180, 110]] }),
      homeSitting({ at: '2026-03-02T12:00:00Z', setting: 'ambulatory', readings: [[180, 110]] }),
      homeSitting({ at: '2026-03-02T13:00:00Z', readings: [[180, 110]] }),
    ]
    const { clinicMean } = compareWithClinic(homeAverage([[130, 80]], sittings))
    expect(clinicMean?.readings).toBe(3)
    expect(clinicMean?.systolic).toEqual({ total: (150n + 140n + 132n) * 133_322_000n, count: 3n })
    expect(clinicMean?.diastolic).toEqual({ total: (90n + 80n + 84n) * 133_322_000n, count: 3n })
  })

  it('is absent without clinic readings, and then nothing is named', () => {
    const found = compareWithClinic(homeAverage([[150, 95]]))
    expect(found.clinicMean).toBeUndefined()
    expect(found.patterns).toEqual([])
  })

  it('stands alone without a home mean, and then nothing is named', () => {
    const found = compareWithClinic(homeAverage([], [clinic([150, 95])]))
    expect(found.clinicMean?.readings).toBe(1)
    expect(found.patterns).toEqual([])
  })
})
