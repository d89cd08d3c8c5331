import type { Rung } from '../../src/core/registry/rung.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'

/** Times that make a day of trouble pass in a minute. */
export interface SettingsTimes {
  readonly timeoutMs: number
  readonly quietMs: number
}

export const TIMES = { timeoutMs: 500, quietMs: 600 } as const satisfies SettingsTimes

export function chaosSettings(
  destinations: readonly { readonly name: string; readonly baseUrl: string }[],
): object {
  return {
    sources: [{ name: SOURCE, title: 'Invented home app' }],
    destinations: destinations.map(({ name, baseUrl }, at) => ({
      name,
      baseUrl,
      // Both ways of sending readings: as they come, and together with the average.
      readings: at % 2 === 0 ? 'at-once' : 'with-average',
    })),
    schedule: {
      deliver: '* * * * * *',
      followArrivals: '* * * * * *',
      closePeriods: '* * * * * *',
      graceHours: 0,
    },
    delivery: {
      ...TIMES,
      maxAttempts: 1_000,
      firstRetryMs: 100,
      longestRetryMs: 1_000,
      leaseMs: 2_000,
      inFlight: 16,
      longestRetryAfterMs: 1_000,
      connectTimeoutMs: 400,
      failuresBeforeRest: 20,
      restMs: 300,
    },
    log: { level: 'error' },
  }
}

export const SOURCE = 'invented-app'

/** What the server cannot do, so that the gateway comes to a rung by itself. */
export const SERVER_FOR_RUNG: Readonly<Record<Exclude<Rung, 'create-only'>, Partial<ClinicBehaviour>>> = {
  transaction: {},
  'conditional-create': { transaction: 'off' },
  'own-id': { transaction: 'off', conditionalCreate: false, conditionalUpdate: false },
  'search-first': {
    transaction: 'off',
    conditionalCreate: false,
    conditionalUpdate: false,
    updateCreate: false,
  },
}

/** Share of all requests that go wrong. Singly, a delivery is dozens of requests. */
export const FAULT_SHARE: Readonly<Record<Exclude<Rung, 'create-only'>, number>> = {
  transaction: 0.25,
  'conditional-create': 0.05,
  'own-id': 0.05,
  'search-first': 0.05,
}
