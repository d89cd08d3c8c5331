import { type Issue, inputError } from '../../../core/basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../../../core/basics/result.ts'

/** What the Parameters of `$validate` say; each absent where its parameter is. */
export interface GivenParameters {
  readonly resource?: unknown
  readonly mode?: string
  readonly profile?: string
}

type Part = Readonly<Record<string, unknown>>
type Name = keyof GivenParameters

/**
 * The elements that may carry each parameter. A profile is a uri in R4; a canonical or url says the same, and R5 has
 * canonical. Source: FHIR R4 OperationDefinition/Resource-validate.
 */
const CARRIED_IN: Readonly<Record<Name, readonly string[]>> = {
  resource: ['resource'],
  mode: ['valueCode'],
  profile: ['valueUri', 'valueCanonical', 'valueUrl'],
}

/** What any Parameters resource and any of its parameters may have beside. Source: FHIR R4 parameters. */
const OF_PARAMETERS = new Set(['resourceType', 'id', 'meta', 'implicitRules', 'language', 'parameter'])
const OF_A_PARAMETER = new Set(['id', 'extension', 'name'])

/**
 * Reads the Parameters resource that asks `$validate`, strictly: a parameter it does not know, one given twice or one
 * that carries the wrong type would otherwise be passed over, and the answer would be to another question. Every issue
 * is told; what is inside `resource` is not looked at.
 */
export function readValidateParameters(parameters: Part): Result<GivenParameters> {
  const issues: Issue[] = unknownKeys(parameters, OF_PARAMETERS, 'Parameters')
  const list = parameters.parameter ?? []
  if (!Array.isArray(list)) return refused([wrongType('Parameters.parameter', 'an array of parameters')])
  const given: Partial<Record<Name, unknown>> = {}
  for (const [index, part] of list.entries()) {
    const at = `Parameters.parameter[${index}]`
    if (isPart(part)) take(part, at, given, issues)
    else issues.push(wrongType(at, 'an object'))
  }
  if (isNonEmpty(issues)) return refused(issues)
  const { resource, mode, profile } = given
  return ok({
    ...(resource === undefined ? {} : { resource }),
    ...(typeof mode === 'string' ? { mode } : {}),
    ...(typeof profile === 'string' ? { profile } : {}),
  })
}

function take(part: Part, at: string, given: Partial<Record<Name, unknown>>, issues: Issue[]): void {
  const { name } = part
  if (!isName(name)) {
    const expected = `one of: ${Object.keys(CARRIED_IN).join(', ')}`
    issues.push(inputError('not-supported', 'NOT_A_CHOICE', `${at}.name`, expected, 'Leave it out.'))
    return
  }
  if (Object.hasOwn(given, name)) {
    const expected = `the parameter ${name} once`
    issues.push(inputError('structure', 'TOO_MANY', at, expected, 'Validate once for each.'))
    return
  }
  const carriers = CARRIED_IN[name].filter((key) => Object.hasOwn(part, key))
  const [carrier] = carriers
  issues.push(...unknownKeys(part, new Set([...OF_A_PARAMETER, ...carriers.slice(0, 1)]), at))
  if (carrier === undefined) {
    issues.push(missing(at, CARRIED_IN[name]))
    return
  }
  const value = part[carrier]
  const isRight = name === 'resource' ? isPart(value) : typeof value === 'string' && value !== ''
  if (!isRight) {
    issues.push(wrongType(`${at}.${elementOf(carrier)}`, name === 'resource' ? 'a resource' : 'text'))
  }
  given[name] = value
}

function isName(name: unknown): name is Name {
  return typeof name === 'string' && Object.hasOwn(CARRIED_IN, name)
}

export function isPart(value: unknown): value is Part {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

/** The FHIRPath name of an element: `value` for `valueCode`. */
function elementOf(key: string): string {
  return key.startsWith('value') ? 'value' : key
}

/** The keys are not repeated in the issue: they are the sender's. */
function unknownKeys(part: Part, known: ReadonlySet<string>, at: string): Issue[] {
  if (Object.keys(part).every((key) => known.has(key))) return []
  const expected = `only ${[...known].join(', ')}`
  return [inputError('structure', 'UNKNOWN_KEY', at, expected, 'Remove what is not listed.')]
}

function missing(at: string, carriers: readonly string[]): Issue {
  const expected = carriers.length === 1 ? `${carriers[0]}` : `one of: ${carriers.join(', ')}`
  return inputError('required', 'MISSING_KEY', at, expected, 'Carry the parameter in it.')
}

function wrongType(at: string, expected: string): Issue {
  return inputError('structure', 'WRONG_TYPE', at, expected, 'Send the type that is named.')
}
