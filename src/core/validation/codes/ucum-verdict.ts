import { createRequire } from 'node:module'
import { LRUCache } from 'lru-cache'

/** What is known of a unit code: `unjudged` is one too long to look at. */
export type UcumVerdict = 'valid' | 'invalid' | 'unjudged'

/**
 * Whether a text is a UCUM code, case-sensitive, as the UCUM library of the US National Library of Medicine reads it.
 *
 * The units of vital signs are known without it. It is loaded, once, for the first other code, which takes some tens
 * of milliseconds. It is never shown a text whose form alone is wrong: it would print such a text to the console.
 */
export function ucumVerdict(code: string): UcumVerdict {
  if (COMMON_UNITS.has(code)) return 'valid'
  if (code.length > LONGEST) return 'unjudged'
  const known = verdicts.get(code)
  if (known !== undefined) return known
  const verdict = judge(code)
  verdicts.set(code, verdict)
  return verdict
}

/**
 * The R4 value set `ucum-vitals-common`, then what sessions, averages and their qualifiers are written with.
 * Source: FHIR R4 4.0.1 `ucum-vitals-common`; UCUM.
 */
const COMMON_UNITS: ReadonlySet<unknown> = new Set([
  ...'% cm [in_i] kg g [lb_av] Cel [degF] mm[Hg] /min kg/m2 m2'.split(' '),
  ...'1 {#} {readings} {beats}/min {count} {score} kPa Pa m mm s ms min h d wk mo a L mL L/min ug mg mg/dL mmol/L m/s'.split(
    ' ',
  ),
])

/** Characters. Reading a code takes the library longer than in proportion to its length. */
const LONGEST = 128

const verdicts = new LRUCache<string, UcumVerdict>({ max: 1000 })

function judge(code: string): UcumVerdict {
  // What an annotation says has no meaning. Source: UCUM specification, section 12.
  const plain = code.replaceAll(ANNOTATION, '{a}')
  if (!hasForm(plain)) return 'invalid'
  library ??= loaded()
  const { status, ucumCode } = library.validateUnitString(plain)
  return status === 'valid' && ucumCode === plain ? 'valid' : 'invalid'
}

/**
 * Printable ASCII without braces. UCUM wants no blanks there either, but R4 itself publishes `{# of fetuses}`.
 * Source: UCUM specification, sections 3 and 12; FHIR R4 4.0.1 value set `ucum-common`.
 */
const ANNOTATION = /\{[ -z|~]+\}/g

/** Whether characters, parentheses and annotations are where a unit can have them. */
function hasForm(code: string): boolean {
  if (!/^[!-~]+$/.test(code) || WORDS_OF_JAVASCRIPT.some((word) => code.includes(word))) return false
  let open = 0
  for (let i = 0; i < code.length; i++) {
    const before = code.charAt(i - 1)
    const after = code.charAt(i + 1)
    if (code[i] === '(') {
      open++
      if (!(before === '' || './('.includes(before))) return false
    } else if (code[i] === ')') {
      open--
      if (open < 0 || './('.includes(before) || !(after === '' || './){'.includes(after))) return false
    } else if (code[i] === '}' && !(after === '' || './)'.includes(after))) return false
  }
  return open === 0
}

/** The library looks units up in plain objects, and takes these for units; the last is its own mark. */
const WORDS_OF_JAVASCRIPT = [...Object.getOwnPropertyNames(Object.prototype), 'placeholder']

interface Library {
  readonly validateUnitString: (code: string) => { status: string; ucumCode: string | null }
}

let library: Library | undefined

const require = createRequire(import.meta.url)

function loaded(): Library {
  const { UcumLhcUtils } = require('@lhncbc/ucum-lhc') as { UcumLhcUtils: { getInstance: () => Library } }
  return UcumLhcUtils.getInstance()
}
