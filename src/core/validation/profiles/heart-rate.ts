import { checkCode } from './component-slice.ts'
import { checkFixedQuantity } from './fixed-quantity.ts'
import type { Profile } from './profile.ts'
import { checkVitalSign } from './vital-signs.ts'

const KEY = 'heartrate'

/** Source: http://hl7.org/fhir/StructureDefinition/heartrate|4.0.1. */
export const heartRate: Profile = {
  key: KEY,
  url: 'http://hl7.org/fhir/StructureDefinition/heartrate',
  codes: new Set(['8867-4']),
  check(observation, at, report) {
    checkVitalSign(observation, at, report)
    checkCode(KEY, '8867-4', observation, at, report)
    checkFixedQuantity(KEY, observation.valueQuantity, '/min', `${at}.value`, report)
  },
}
