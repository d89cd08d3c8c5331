import { describe, expect, it } from 'vitest'
import {
  cleanSession,
  secondsIn,
  sessionWhereReading,
  sessionWith,
} from '../../../../tests/support/clean-session.ts'
import { withoutStating } from '../../../../tests/support/example-session.ts'
import { NO_FINDINGS, type TechniqueCode } from '../finding.ts'
import type { Conditions, MonitorSays, Position, Session } from '../session.ts'
import { checkTechnique } from './check-technique.ts'

const arm = { armCircumferenceCm: 30 }
const codes = (session: Session, context: { armCircumferenceCm?: number } = arm) =>
  checkTechnique(session, context).map(({ code }) => code)

describe('checkTechnique', () => {
  it('finds nothing in a sitting done well, and allocates no list for it', () => {
    expect(checkTechnique(cleanSession(), arm)).toBe(NO_FINDINGS)
    expect(Object.isFrozen(NO_FINDINGS)).toBe(true)
  })

  it('takes an absent answer for not asked, never for wrong', () => {
    const unasked = cleanSession({ conditions: {} })
    expect(checkTechnique(unasked, {})).toBe(NO_FINDINGS)
    expect(
      checkTechnique(
        cleanSession({ conditions: { minutesSince: {}, cuffFor: { minCm: 22, maxCm: 26 } } }),
        {},
      ),
    ).toBe(NO_FINDINGS)
  })

  const answers: readonly [string, Conditions, TechniqueCode][] = [
    ['a rest of 4.5 min', { restMinutes: 4.5 }, 'rest-too-short'],
    ['no rest', { restMinutes: 0 }, 'rest-too-short'],
    ['an unsupported back', { backSupported: false }, 'back-unsupported'],
    ['feet off the floor', { feetFlat: false }, 'feet-not-flat'],
    ['crossed legs', { legsCrossed: true }, 'legs-crossed'],
    ['an unsupported arm', { armSupported: false }, 'arm-unsupported'],
    ['an arm on the lap', { armRest: 'lap' }, 'arm-unsupported'],
    ['an arm on the lap, called unsupported', { armSupported: false, armRest: 'lap' }, 'arm-unsupported'],
    ['an arm hanging', { armSupported: false, armRest: 'hanging' }, 'arm-unsupported'],
    ['a cuff 10 cm below the heart', { cuffHeight: { relativeToHeartCm: -10 } }, 'cuff-below-heart'],
    ['a cuff 10 cm above the heart', { cuffHeight: { relativeToHeartCm: 10 } }, 'cuff-above-heart'],
    ['a thin sleeve', { cuffOver: 'thin-sleeve' }, 'cuff-over-clothing'],
    ['a thick sleeve', { cuffOver: 'thick-sleeve' }, 'cuff-over-clothing'],
    ['a cuff made for thinner arms', { cuffFor: { minCm: 18, maxCm: 29.5 } }, 'cuff-too-small'],
    ['a cuff made for thicker arms', { cuffFor: { minCm: 30.5, maxCm: 42 } }, 'cuff-too-large'],
    ['a cuff on the elbow crease', { cuffEdgeAboveElbowCm: 0 }, 'cuff-edge-off'],
    ['a cuff over the elbow crease', { cuffEdgeAboveElbowCm: -1 }, 'cuff-edge-off'],
    ['a cuff high on the arm', { cuffEdgeAboveElbowCm: 6 }, 'cuff-edge-off'],
    ['a tight cuff', { fingersUnderCuff: 0 }, 'cuff-fit-off'],
    ['a loose cuff', { fingersUnderCuff: 3 }, 'cuff-fit-off'],
    ['talking', { talking: true }, 'talking'],
    ['moving', { moving: true }, 'moving'],
    ['a full bladder', { bladderFull: true }, 'bladder-full'],
    ['pain', { pain: true }, 'pain'],
    ['cold', { cold: true }, 'cold-exposure'],
    ['medicine taken before', { medication: 'after' }, 'after-medication'],
    ['caffeine 29 min before', { minutesSince: { caffeine: 29 } }, 'caffeine-recent'],
    ['nicotine 29 min before', { minutesSince: { nicotine: 29 } }, 'nicotine-recent'],
    ['alcohol 29 min before', { minutesSince: { alcohol: 29 } }, 'alcohol-recent'],
    ['exercise 0 min before', { minutesSince: { exercise: 0 } }, 'exercise-recent'],
    ['a meal 29 min before', { minutesSince: { meal: 29 } }, 'meal-recent'],
  ]
  it.each(answers)('finds %s, and nothing else', (_what, conditions, code) => {
    expect(codes(sessionWith(conditions))).toEqual([code])
  })

  const fine: readonly [string, Conditions][] = [
    ['a rest of exactly 5 min', { restMinutes: 5 }],
    [
      'a cuff height that moves the numbers by less than a monitor shows',
      { cuffHeight: { relativeToHeartCm: -1 } },
    ],
    ['an arm on a surface', { armRest: 'surface' }],
    ['an arm at the lower end of the label', { cuffFor: { minCm: 30, maxCm: 42 } }],
    ['an arm at the upper end of the label', { cuffFor: { minCm: 22, maxCm: 30 } }],
    ['a cuff edge of 2 cm', { cuffEdgeAboveElbowCm: 2 }],
    ['one finger under the cuff', { fingersUnderCuff: 1 }],
    [
      'every wait of exactly 30 min',
      { minutesSince: { caffeine: 30, nicotine: 30, alcohol: 30, exercise: 30, meal: 30 } },
    ],
    [
      'nothing of it today',
      { minutesSince: { caffeine: null, nicotine: null, alcohol: null, exercise: null, meal: null } },
    ],
  ]
  it.each(fine)('finds nothing in %s', (_what, conditions) => {
    expect(codes(sessionWith(conditions))).toEqual([])
  })

  it.each(['standing', 'lying', 'semi-recumbent'] as const)('finds a %s person not seated', (position) => {
    expect(checkTechnique(cleanSession({ position }), arm)).toMatchObject([
      { code: 'not-seated', direction: 'either' },
    ])
  })

  it('has a published size for lying down only', () => {
    const sizeOf = (position: Position) => checkTechnique(cleanSession({ position }), arm)[0]?.size
    expect(sizeOf('lying')).toEqual({ systolic: [-10.7, 9.5], diastolic: [-13.4, 6.4] })
    expect(sizeOf('standing')).toBeUndefined()
    expect(sizeOf('semi-recumbent')).toBeUndefined()
  })

  it.each([
    ['clinic', 'It was measured in a clinic and not at home, '],
    ['public-kiosk', 'It was measured at a public kiosk and not at home, '],
  ] as const)('remarks on the setting %s, for information', (setting, opening) => {
    const found = checkTechnique(cleanSession({ setting }), arm)
    expect(found).toMatchObject([{ code: 'clinic-setting', severity: 'information' }])
    expect(found[0]?.text.startsWith(opening)).toBe(true)
  })

  it('warns of the wrist, a departure from the seated upper arm', () => {
    expect(checkTechnique(cleanSession({ site: 'wrist' }), arm)).toMatchObject([
      { code: 'wrist-site', severity: 'warning' },
    ])
  })

  it('looks in a 24-hour recording only at what lasts through it', () => {
    const everythingWrong: Conditions = {
      restMinutes: 0,
      backSupported: false,
      feetFlat: false,
      legsCrossed: true,
      armRest: 'hanging',
      cuffHeight: { relativeToHeartCm: -10 },
      cuffOver: 'thick-sleeve',
      cuffFor: { minCm: 18, maxCm: 26 },
      cuffEdgeAboveElbowCm: 0,
      fingersUnderCuff: 0,
      talking: true,
      moving: true,
      bladderFull: true,
      pain: true,
      cold: true,
      minutesSince: { caffeine: 0, nicotine: 0, alcohol: 0, exercise: 0, meal: 0 },
      medication: 'after',
    }
    const recording = {
      ...sessionWhereReading({ 2: { takenAt: secondsIn(20), monitorSays: { bodyMovement: true } } }),
      setting: 'ambulatory',
      position: 'standing',
      site: 'wrist',
      conditions: everythingWrong,
    } as const
    expect(codes(recording)).toEqual([
      'wrist-site',
      'cuff-over-clothing',
      'cuff-fit-off',
      'monitor-body-movement',
    ])
    expect(codes({ ...recording, site: 'upper-arm' })).toEqual([
      'cuff-too-small',
      'cuff-over-clothing',
      'cuff-edge-off',
      'cuff-fit-off',
      'monitor-body-movement',
    ])
    expect(codes(cleanSession({ setting: 'ambulatory' }))).toEqual([])
  })

  it('does not compare a wrist cuff with the upper arm or the elbow', () => {
    const wrist = cleanSession({
      site: 'wrist',
      conditions: { cuffFor: { minCm: 13.5, maxCm: 21.5 }, cuffEdgeAboveElbowCm: 20 },
    })
    expect(codes(wrist)).toEqual(['wrist-site'])
  })

  it('says nothing of a position or a site that is not stated, and compares no cuff with the arm', () => {
    const small = { cuffFor: { minCm: 13.5, maxCm: 21.5 }, cuffEdgeAboveElbowCm: 20 }
    expect(codes(withoutStating(cleanSession(), 'position', 'arm', 'site'))).toEqual([])
    expect(codes(withoutStating(cleanSession({ conditions: small }), 'site'))).toEqual([])
  })

  it('finds no gap between times of receipt', () => {
    const hasty = sessionWhereReading({ 2: { takenAt: secondsIn(1) }, 3: { takenAt: secondsIn(2) } })
    expect(codes({ ...hasty, timeFrom: 'receipt' })).toEqual([])
  })

  it('finds readings less than a minute apart, on the later one', () => {
    const hasty = sessionWhereReading({ 2: { takenAt: secondsIn(59) }, 3: { takenAt: secondsIn(119) } })
    expect(checkTechnique(hasty, arm)).toMatchObject([{ code: 'gap-too-short', reading: 2 }])
    expect(checkTechnique(hasty, arm)[0]?.text).toMatch(/^Reading 2 came 59 s after reading 1, /)
  })

  it('takes a minute to the second for long enough', () => {
    expect(
      codes(sessionWhereReading({ 2: { takenAt: secondsIn(60) }, 3: { takenAt: secondsIn(120) } })),
    ).toEqual([])
  })

  it('knows no gap beside a reading without a time of its own, but sees past it', () => {
    const { takenAt: _first, ...untimed } = cleanSession().readings[1] ?? {
      ordinal: 2,
      systolic: null,
      diastolic: null,
    }
    const [first, , third] = cleanSession().readings
    if (first === undefined || third === undefined) throw new Error('three readings were expected')
    expect(codes(cleanSession({ readings: [first, untimed, third] }))).toEqual([])
    const early = { ...third, takenAt: secondsIn(50) }
    expect(checkTechnique(cleanSession({ readings: [first, untimed, early] }), arm)).toMatchObject([
      { code: 'gap-too-short', reading: 3 },
    ])
  })

  it('leaves times that run backwards to plausibility', () => {
    expect(
      codes(sessionWhereReading({ 1: { takenAt: secondsIn(30) }, 2: { takenAt: secondsIn(0) } })),
    ).toEqual([])
  })

  const statuses: readonly [keyof MonitorSays, TechniqueCode][] = [
    ['bodyMovement', 'monitor-body-movement'],
    ['cuffTooLoose', 'monitor-cuff-too-loose'],
    ['irregularPulse', 'monitor-irregular-pulse'],
    ['improperPosition', 'monitor-improper-position'],
  ]
  it.each(statuses)('passes on that the monitor said %s, on its reading', (status, code) => {
    const said = sessionWhereReading({
      2: { monitorSays: { [status]: true } },
      3: { monitorSays: { [status]: false } },
    })
    expect(checkTechnique(said, arm)).toMatchObject([{ code, reading: 2, direction: 'unknown' }])
  })

  it('says all of it at once, the sitting first and then each reading', () => {
    const session = {
      ...sessionWhereReading({ 2: { takenAt: secondsIn(20), monitorSays: { irregularPulse: true } } }),
      conditions: { talking: true, bladderFull: true, cuffHeight: { relativeToHeartCm: -10 } },
    }
    expect(checkTechnique(session, arm).map(({ code, reading }) => [code, reading])).toEqual([
      ['cuff-below-heart', undefined],
      ['talking', undefined],
      ['bladder-full', undefined],
      ['gap-too-short', 2],
      ['monitor-irregular-pulse', 2],
    ])
  })

  it('leaves the session as it was', () => {
    const session = sessionWith({ talking: true, cuffHeight: { relativeToHeartCm: -10 } })
    const before = structuredClone(session)
    checkTechnique(session, arm)
    expect(session).toEqual(before)
  })
})
