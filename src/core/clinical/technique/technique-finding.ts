import type { EffectSize, Finding, Range, TechniqueCode } from '../finding.ts'
import { EFFECTS, type Effect } from './effects.ts'

/**
 * A technique finding, from what is published about its code.
 *
 * @param reported what the person or the monitor reported, as the opening clause of the sentence; no measured value.
 * @param reading 1-based, when it concerns one reading.
 */
export function techniqueFinding(
  code: TechniqueCode,
  reported: string,
  reading?: number,
  effect: Effect = EFFECTS[code],
): Finding {
  return asFinding(
    code,
    `${reported}, ${effectClause(effect)}; the reading is kept as measured.`,
    effect,
    reading,
  )
}

/** A technique finding whose whole sentence is given. */
export function asFinding(code: TechniqueCode, text: string, effect: Effect, reading?: number): Finding {
  return {
    code,
    kind: 'technique',
    severity: effect.severity,
    ...(reading === undefined ? {} : { reading }),
    direction: effect.direction,
    ...(effect.size === undefined ? {} : { size: effect.size }),
    text,
    citation: effect.citation,
    ...(effect.alsoCites === undefined ? {} : { alsoCites: effect.alsoCites }),
  }
}

const DIRECTION_CLAUSE: Readonly<Record<Finding['direction'], string>> = {
  'reads-high': 'which makes the numbers read high',
  'reads-low': 'which makes the numbers read low',
  either: 'which can move the numbers either way',
  unknown: 'and which way that moves the numbers is not established',
}

function effectClause(effect: Effect): string {
  const figures: string[] = []
  if (effect.size !== undefined) figures.push(`published mean effects: ${sizeText(effect.size)}`)
  if (effect.note !== undefined) figures.push(effect.note)
  if (effect.commonPractice !== undefined) figures.push(`common practice says ${effect.commonPractice}`)
  const direction = DIRECTION_CLAUSE[effect.direction]
  return figures.length === 0 ? direction : `${direction} (${figures.join('; ')})`
}

function sizeText(size: EffectSize): string {
  const parts: string[] = []
  if (size.systolic !== undefined) parts.push(`systolic ${rangeText(size.systolic)}`)
  if (size.diastolic !== undefined) parts.push(`diastolic ${rangeText(size.diastolic)}`)
  return parts.join(', ')
}

function rangeText([lowest, highest]: Range): string {
  return lowest === highest ? `${signed(lowest)} mmHg` : `${signed(lowest)} to ${signed(highest)} mmHg`
}

function signed(value: number): string {
  return value > 0 ? `+${value}` : `${value}`
}
