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
  ajv.addSchema({ $id: 'r4', definitions })
  const code = standalone.default(
    ajv,
    Object.fromEntries(roots.map((root) => [root, `r4${REFERENCE}${root}`])),
  )
  if (code.includes('require(')) throw new Error('The generated module would need ajv at run time')
  return JOIN + code.replaceAll(CONCATENATION, 'joined(vErrors, $1.errors)')
}

/** ajv copies all earlier errors each time a referenced schema fails: quadratic in the errors of a hostile list. */
const CONCATENATION = /vErrors\.concat\(([\w.]+)\.errors\)/g

/** Appends instead. Safe, because every call of a validating function makes a list of its own. */
const JOIN = 'function joined(errors, more) { for (const error of more) errors.push(error); return errors }\n'
