import type { ElementRule } from '../elements/element-rule.ts'
import type { JsonObject } from '../json-object.ts'
import { UCUM } from './code-systems.ts'

/**
 * UCUM codes this gateway knows. The first line is the R4 value set `ucum-vitals-common`; the others are what sessions,
 * averages and their qualifiers are written with. Source: FHIR R4 4.0.1 `ucum-vitals-common`; UCUM.
 */
export const VITALS_UNITS: ReadonlySet<unknown> = new Set(
  '% cm [in_i] kg g [lb_av] Cel [degF] mm[Hg] /min kg/m2 m2'.split(' '),
)
const OTHER_UNITS: ReadonlySet<unknown> = new Set(
  '1 {#} {readings} {beats}/min {count} {score} kPa Pa m mm s ms min h d wk mo a L mL L/min ug mg mg/dL mmol/L m/s'.split(
    ' ',
  ),
)

/** Notations met in the wild that look like a unit and are not its UCUM code. */
const MISTAKEN_UNITS: ReadonlyMap<unknown, string> = new Map([
  ['mmHg', 'mm[Hg]'],
  ['mmhg', 'mm[Hg]'],
  ['mm Hg', 'mm[Hg]'],
  ['mm[hg]', 'mm[Hg]'],
  ['mm(Hg)', 'mm[Hg]'],
  ['kpa', 'kPa'],
  ['KPA', 'kPa'],
  ['bpm', '/min'],
  ['BPM', '/min'],
  ['beats/min', '{beats}/min'],
  ['beats/minute', '{beats}/min'],
  ['#', '{#}'],
  ['lb', '[lb_av]'],
  ['lbs', '[lb_av]'],
  ['in', '[in_i]'],
  ['C', 'Cel'],
  ['°C', 'Cel'],
  ['percent', '%'],
])

const QUANTITIES = ['Quantity', 'Age', 'Count', 'Distance', 'Duration']

const notMistaken = QUANTITIES.map(
  (on): ElementRule => ({
    key: 'ucum-code',
    on,
    severity: 'error',
    code: 'CODE',
    type: 'code-invalid',
    child: 'code',
    human: `a UCUM code, such as ${[...new Set(MISTAKEN_UNITS.values())].join(', ')}`,
    remedy: 'Write the unit as UCUM spells it, with its brackets and capitals.',
    holds: (quantity) => !isUcum(quantity) || !MISTAKEN_UNITS.has(quantity.code),
  }),
)

const known = QUANTITIES.map(
  (on): ElementRule => ({
    key: 'ucum-known',
    on,
    severity: 'warning',
    code: 'CODE',
    type: 'code-invalid',
    child: 'code',
    human: 'one of the UCUM codes this gateway knows',
    remedy: 'Check the code against UCUM: it was not judged here.',
    holds: ({ system, code }) =>
      system !== UCUM ||
      typeof code !== 'string' ||
      VITALS_UNITS.has(code) ||
      OTHER_UNITS.has(code) ||
      MISTAKEN_UNITS.has(code),
  }),
)

function isUcum(quantity: JsonObject): boolean {
  return quantity.system === UCUM
}

export const unitRules: readonly ElementRule[] = [...notMistaken, ...known]
