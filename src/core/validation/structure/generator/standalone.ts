import { Ajv } from 'ajv'
import standalone from 'ajv/dist/standalone/index.js'
import type { Definitions } from './published-schema.ts'
import { REFERENCE } from './subset.ts'

/**
 * An ES module that exports one validating function per root, written by ajv. It imports nothing.
 * `strictNumbers` is asked for by name, because `strict: false` would turn it off and let NaN pass.
 */
export function standaloneModule(definitions: Definitions, roots: readonly string[]): string {
  const ajv = new Ajv({
    strict: false,
    strictNumbers: true,
    allErrors: true,
    messages: false,
    validateSchema: false,
    code: { source: true, esm: true },
  })
  const functions = new Map(CONSTANT_TYPES.map((type) => [type, new Set<string>()]))
  for (const [type, names] of functions) {
    ajv.addKeyword({
      keyword: type,
      code: ({ it }) => {
        names.add(String(it.validateName))
      },
    })
  }
  ajv.addSchema({ $id: 'r4', definitions: marked(definitions) })
  const code = standalone.default(
    ajv,
    Object.fromEntries(roots.map((root) => [root, `r4${REFERENCE}${root}`])),
  )
  if (code.includes('require(')) throw new Error('The generated module would need ajv at run time')
  let settling = code
  for (const [type, names] of functions) settling = settled(settling, type, names)
  return JOIN + SETTLED + settling.replaceAll(CONCATENATION, 'joined(vErrors, $1.errors)')
}

/**
 * Types of which the resources we write share constants. Each is also the name of the keyword by which ajv tells which
 * functions it wrote for that type.
 */
const CONSTANT_TYPES = ['CodeableConcept', 'Meta', 'Extension', 'Observation_Component', 'Reference'] as const

function marked(definitions: Definitions): Definitions {
  const marks = CONSTANT_TYPES.map((type) => [type, { ...definitions[type], [type]: true }])
  return { ...definitions, ...Object.fromEntries(marks) }
}

/** Lets every check of a value of the type go through `settled`. */
function settled(code: string, type: string, names: ReadonlySet<string>): string {
  if (names.size === 0) throw new Error(`ajv wrote no function for ${type}`)
  const calls = new RegExp(`(?<!function )\\b(${[...names].join('|')})\\(`, 'g')
  const through = type === 'Reference' ? 'settledLast($1, ' : `settled(right${type}, $1, `
  return code.replaceAll(calls, through).replaceAll(`,"${type}":true`, '')
}

/**
 * Looks once only at a value that never changes, frozen with all that is in it: the constants that every resource we
 * write shares, and the patient that all resources of a session share, of whom the last is remembered. What comes from
 * JSON is never frozen, and is looked at each time.
 */
const SETTLED = `${CONSTANT_TYPES.filter((type) => type !== 'Reference')
  .map((type) => `const right${type} = new WeakSet()`)
  .join('\n')}
let lastReference
function settled(right, validate, data, context) {
  if (right.has(data)) { validate.errors = null; return true }
  const valid = validate(data, context)
  if (valid && frozenThroughout(data)) right.add(data)
  return valid
}
function settledLast(validate, data, context) {
  if (data === lastReference && data !== undefined) { validate.errors = null; return true }
  const valid = validate(data, context)
  if (valid && frozenThroughout(data)) lastReference = data
  return valid
}
function frozenThroughout(data) {
  return typeof data !== 'object' || data === null || (Object.isFrozen(data) && Object.values(data).every(frozenThroughout))
}
`

/** ajv copies all earlier errors each time a referenced schema fails: quadratic in the errors of a hostile list. */
const CONCATENATION = /vErrors\.concat\(([\w.]+)\.errors\)/g

/** Appends instead. Safe, because every call of a validating function makes a list of its own. */
const JOIN = 'function joined(errors, more) { for (const error of more) errors.push(error); return errors }\n'
