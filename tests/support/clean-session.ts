import type { Conditions, Reading, Session } from '../../src/core/clinical/session.ts'

/** The start of the clean sitting: 2026-03-02T06:41:00-07:00. */
export const CLEAN_SITTING_MS = Date.parse('2026-03-02T06:41:00-07:00')

/** A sitting of three readings, 70 s apart, with nothing to say about it; every question answered well. */
export function cleanSession(changes: Partial<Session> = {}): Session {
  return {
    id: 's-1',
    subject: 'HW-1',
    takenAt: { text: '2026-03-02T06:41:00-07:00', epochMs: CLEAN_SITTING_MS },
    setting: 'home',
    position: 'sitting',
    arm: 'left',
    site: 'upper-arm',
    readings: [cleanReading(1), cleanReading(2), cleanReading(3)],
    entry: 'transferred',
    conditions: CLEAN_CONDITIONS,
    ...changes,
  }
}

/** The clean sitting with other answers; answers not named stay well. */
export function sessionWith(conditions: Conditions): Session {
  return cleanSession({ conditions: { ...CLEAN_CONDITIONS, ...conditions } })
}

/** The clean sitting with its readings changed, by their 1-based place. */
export function sessionWhereReading(changes: Readonly<Record<number, Partial<Reading>>>): Session {
  return cleanSession({
    readings: [1, 2, 3].map((ordinal) => ({ ...cleanReading(ordinal), ...changes[ordinal] })),
  })
}

export function cleanReading(ordinal: number): Reading {
  return {
    ordinal,
    takenAt: secondsIn((ordinal - 1) * 70),
    systolic: { value: 138, unit: 'mmHg' },
    diastolic: { value: 87, unit: 'mmHg' },
    pulse: 72,
  }
}

/** A moment of the clean sitting, in seconds after its start. */
export function secondsIn(seconds: number) {
  const epochMs = CLEAN_SITTING_MS + seconds * 1000
  return { text: `${new Date(epochMs).toISOString().slice(0, 19)}Z`, epochMs }
}

const CLEAN_CONDITIONS: Conditions = {
  restMinutes: 5,
  backSupported: true,
  feetFlat: true,
  legsCrossed: false,
  armSupported: true,
  cuffHeight: { relativeToHeartCm: 0 },
  cuffOver: 'bare-arm',
  cuffFor: { minCm: 22, maxCm: 32 },
  cuffEdgeAboveElbowCm: 3,
  fingersUnderCuff: 2,
  talking: false,
  moving: false,
  bladderFull: false,
  pain: false,
  cold: false,
  minutesSince: { caffeine: 180, nicotine: null, alcohol: null, exercise: 600, meal: 600 },
  medication: 'before',
}
