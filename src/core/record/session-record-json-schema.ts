import { z } from 'zod'
import {
  MICROPASCALS_PER_KPA,
  MICROPASCALS_PER_MMHG,
  microPascals,
  type PressureUnit,
} from '../basics/pressure.ts'
import {
  DIASTOLIC_MMHG,
  type HardLimits,
  HEARD_TO_ZERO,
  SYSTOLIC_MMHG,
} from '../clinical/plausibility/hard-limits.ts'
import { mostReadings, sessionRecord } from './session-record.ts'

/** JSON Schema as plain data, as far as it is walked here. */
export interface JsonSchema {
  readonly [keyword: string]: unknown
  readonly description?: string
  readonly properties?: Readonly<Record<string, JsonSchema>>
  readonly items?: JsonSchema
}

/**
 * The session record as JSON Schema, draft 2020-12, with the hard limits of each unit.
 *
 * It cannot say that systolic is above diastolic, that a wall time needs a zone and must have existed, how many digits a
 * pressure may have, or that attempts are no fewer than readings; `readSession` does. Lengths are counted in characters
 * here and in UTF-16 units there, so a text of many characters outside the basic plane can be longer here.
 */
export function sessionRecordJsonSchema(): JsonSchema {
  const { $schema, ...rest } = z.toJSONSchema(sessionRecord, { io: 'input', target: 'draft-2020-12' })
  const title = 'Session record of blood pressure measured at home'
  const schema = {
    $schema,
    title,
    ...rest,
    anyOf: [recordIn('mmHg'), recordIn('kPa')],
    allOf: [UNLESS_RECORDED, UNLESS_HEARD],
  }
  return JSON.parse(JSON.stringify(schema)) as JsonSchema
}

/** A record in this unit: its pressures within their limits, and no reading without any pressure. */
function recordIn(unit: PressureUnit): JsonSchema {
  const size = unit === 'mmHg' ? MICROPASCALS_PER_MMHG : MICROPASCALS_PER_KPA
  const inUnit = (mmHg: number) => microPascals({ value: mmHg, unit: 'mmHg' }) / size
  const within = (limits: HardLimits) => ({
    minimum: inUnit(limits.lowest),
    maximum: inUnit(limits.highest),
  })
  const items = {
    properties: {
      systolic: within(SYSTOLIC_MMHG),
      diastolic: { anyOf: [within(DIASTOLIC_MMHG), { const: HEARD_TO_ZERO }] },
    },
    not: { properties: { systolic: { type: 'null' }, diastolic: { type: 'null' } } },
  }
  return { properties: { unit: { const: unit }, readings: { items } } }
}

/** What only a 24-hour recording may have. */
const UNLESS_RECORDED = {
  if: { properties: { setting: { const: 'ambulatory' } } },
  else: {
    properties: { readings: { maxItems: mostReadings(undefined) }, attempts: false, sleep: false },
  },
}

/** What only a person who listens may report. */
const UNLESS_HEARD = {
  if: {
    properties: { device: { properties: { kind: { const: 'upper-arm-manual' } }, required: ['kind'] } },
    required: ['device'],
  },
  else: {
    properties: { readings: { items: { properties: { diastolic: { not: { const: HEARD_TO_ZERO } } } } } },
  },
}
