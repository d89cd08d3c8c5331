import { describe, expect, it } from 'vitest'
import { homeSitting, type SittingParts } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol } from '../../../../tests/support/shipped-profiles.ts'
import { averagePeriod } from './average-period.ts'
import type { CheckedSession, PeriodPlan } from './period-average.ts'
import { selectClinicReadings } from './select-clinic-readings.ts'

const plan: PeriodPlan = {
  protocol: shippedProtocol('nice-ng136-home'),
  zone: 'UTC',
  firstDay: '2026-03-02',
  lastDay: '2026-03-08',
}
const home = [3, 4, 5, 6].map((day) =>
  homeSitting({ at: `2026-03-0${day}T07:00:00Z`, readings: [[128, 80]] }),
)

function clinic(time: string, systolic: number, said: Partial<SittingParts> = {}): CheckedSession {
  return homeSitting({ at: `${time}:00Z`, setting: 'clinic', readings: [[systolic, 86]], ...said })
}

function selected(clinics: readonly CheckedSession[], athome = home, planned = plan) {
  const { used, ...limb } = selectClinicReadings(averagePeriod(planned, [...clinics, ...athome], []))
  return { systolics: used.map(({ reading }) => reading.systolic?.value), ...limb }
}

const LEFT = { arm: 'left', site: 'upper-arm' }

describe('the clinic readings beside a home average', () => {
  it('are those of the days of the period', () => {
    const days = ['2025-03-04', '2026-03-01', '2026-03-02', '2026-03-08', '2026-03-09']
    const clinics = days.map((day, index) => clinic(`${day}T10:00`, 140 + index))
    expect(selected(clinics)).toEqual({ systolics: [142, 143], ...LEFT })
  })

  it('are each counted once: sent again under a new id, or through another source', () => {
    const one = clinic('2026-03-05T10:00', 143)
    const again = clinic('2026-03-05T10:00', 143, { id: 'again' })
    expect(selected([clinic('2026-03-04T10:00', 136), one, again]).systolics).toEqual([136, 143])
    const of = (source: string, sitting: CheckedSession) => ({ ...sitting, source })
    const elsewhere = clinic('2026-03-05T10:00', 143, { at: '2026-03-05T10:00:05Z' })
    expect(
      selected(
        [of('a', one), of('b', elsewhere)],
        home.map((sitting) => of('a', sitting)),
      ).systolics,
    ).toEqual([143])
  })

  it('are complete, not taken back, of a clinic and of someone not said to stand or lie', () => {
    const clinics = [
      clinic('2026-03-04T10:00', 140, { position: 'not-stated' }),
      clinic('2026-03-04T10:05', 141, { position: 'standing' }),
      clinic('2026-03-04T10:10', 142, { position: 'lying' }),
      clinic('2026-03-04T10:15', 143, { readings: [[143, null]] }),
      { ...clinic('2026-03-04T10:20', 144), withdrawn: true },
      clinic('2026-03-04T10:25', 145, { setting: 'public-kiosk' }),
      clinic('2026-03-04T10:30', 146, { setting: 'ambulatory' }),
    ]
    expect(selected(clinics).systolics).toEqual([140])
  })

  it('are of the limb of the home average where there are some, though fewer', () => {
    const clinics = [
      clinic('2026-03-04T10:00', 160, { arm: 'right' }),
      clinic('2026-03-04T10:05', 162, { arm: 'right' }),
      clinic('2026-03-04T10:10', 130),
      clinic('2026-03-04T10:15', 120, { site: 'wrist' }),
    ]
    expect(selected(clinics)).toEqual({ systolics: [130], ...LEFT })
  })

  it('are of one limb, chosen as at home, where there is none of that one, whatever arm the plan names', () => {
    const clinics = [
      clinic('2026-03-04T10:00', 160, { arm: 'right' }),
      clinic('2026-03-04T10:05', 130, { arm: 'not-stated' }),
      clinic('2026-03-04T10:10', 120, { arm: 'right', site: 'wrist' }),
    ]
    const right = { systolics: [160], arm: 'right', site: 'upper-arm' }
    expect(selected(clinics)).toEqual(right)
    expect(selected(clinics, home, { ...plan, arm: 'left' })).toEqual(right)
    expect(selected(clinics, [])).toEqual(right)
  })

  it('claim no limb where they state none', () => {
    expect(selected([clinic('2026-03-04T10:00', 150, { arm: 'not-stated', site: 'not-stated' })])).toEqual({
      systolics: [150],
    })
  })

  it('are none where the clinic sent none', () => {
    expect(selected([])).toEqual({ systolics: [] })
  })
})
