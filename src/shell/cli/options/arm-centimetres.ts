import { InvalidArgumentError } from 'commander'
import { ARM_CM, isArmCircumference } from '../../../core/registry/arm-circumference.ts'

/** The value of `--arm-cm`. */
export function armCentimetres(text: string): number {
  const value = Number(text)
  if (isArmCircumference(value)) return value
  throw new InvalidArgumentError(`Give the circumference in centimetres, ${ARM_CM.least} to ${ARM_CM.most}.`)
}
