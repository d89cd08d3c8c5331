import type { JsonObject } from '../../basics/json-object.ts'
import type { ElementRule } from '../elements/element-rule.ts'
import { UCUM } from './code-systems.ts'
import { type UcumVerdict, ucumVerdict } from './ucum-verdict.ts'

/** The types that carry a unit by system and code. */
const WITH_UNITS = ['Quantity', 'Age', 'Count', 'Distance', 'Duration', 'Coding']

const EXAMPLES = 'mm[Hg], kPa, /min, {beats}/min, {#}, [lb_av], [in_i], Cel, %'

const ucumCode = WITH_UNITS.map(
  (on): ElementRule => ({
    key: 'ucum-code',
    on,
    severity: 'error',
    code: 'CODE',
    type: 'code-invalid',
    child: 'code',
    human: `a UCUM code, such as ${EXAMPLES}`,
    remedy:
      'Write the unit as UCUM spells it, with its brackets and capitals: mm[Hg], not mmHg; /min, not bpm.',
    holds: (element) => verdictOf(element) !== 'invalid',
  }),
)

const ucumUnjudged = WITH_UNITS.map(
  (on): ElementRule => ({
    key: 'ucum-unjudged',
    on,
    severity: 'information',
    code: 'CODE',
    type: 'too-costly',
    child: 'code',
    human: 'a UCUM code of at most 128 characters',
    remedy: 'Write a shorter one: this was not judged.',
    holds: (element) => verdictOf(element) !== 'unjudged',
  }),
)

function verdictOf({ system, code }: JsonObject): UcumVerdict {
  return system === UCUM && typeof code === 'string' ? ucumVerdict(code) : 'valid'
}

export const unitRules: readonly ElementRule[] = [...ucumCode, ...ucumUnjudged]
