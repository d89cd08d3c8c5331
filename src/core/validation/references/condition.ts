import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import type { Report } from '../layer.ts'
import { referenceIssue } from './reference-issue.ts'

const OWN = 'the identifier that the resource has under this system'
const ANOTHER = 'Correct one of the two: it is another resource, or none, that is found by this.'

/**
 * Warns where a conditional create or update looks for another identifier than the resource has. R4 lets any condition
 * stand. Source: FHIR R4 4.0.1 http.html, conditional create and conditional update.
 */
export function adviseCondition(
  { method, url, ifNoneExist }: JsonObject,
  resource: unknown,
  at: string,
  report: Report,
): void {
  const isUpdate = method === 'PUT' && typeof url === 'string'
  const query = isUpdate ? /^[A-Z][A-Za-z]+\?(.*)$/.exec(url)?.[1] : ifNoneExist
  if (typeof query !== 'string' || !findsAnother(query, resource)) return
  const [rule, place] = isUpdate ? (['request', 'url'] as const) : (['ifNoneExist', 'ifNoneExist'] as const)
  const issue = referenceIssue(rule, 'value', `${at}.request.${place}`, OWN, ANOTHER)
  report({ ...issue, severity: 'warning' })
}

/**
 * Whether a condition asks for an identifier that the resource lacks, under a system in which it has one: a create is
 * then made again each time or never, and an update changes another resource. Alternatives after a comma are not judged.
 */
function findsAnother(query: string, resource: unknown): boolean {
  const identifiers = isJsonObject(resource) ? objectsOf(resource.identifier) : []
  return new URLSearchParams(query).getAll('identifier').some((token) => {
    const [system = '', value] = token.split('|')
    const own = identifiers.filter((one) => one.system === system)
    return own.length > 0 && value !== '' && !token.includes(',') && !own.some((one) => one.value === value)
  })
}
