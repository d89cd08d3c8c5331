import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import type { ElementRules } from './element-rules.ts'
import { finding } from './finding.ts'
import type { Judging } from './judging.ts'
import { shownType } from './shown-type.ts'
import { lastSegment } from './structure-definition.ts'

/**
 * Holds a reference to the types and profiles it may lead to: by the type it shows, and where the resource itself is at
 * hand, by that. A type that R4 itself refuses there is left to the layer that says so.
 */
export function checkTarget(value: unknown, rules: ElementRules, judgement: Judging): void {
  const { targets, variants } = rules
  if (targets === undefined || !isJsonObject(value)) return
  const types = judgement.set.targetTypes(targets.value)
  if (types === undefined) {
    judgement.notJudged(targets.by, `what ${rules.id} refers to`)
    return
  }
  const { reference } = value
  if (typeof reference === 'string' && showsOneOf(reference, types)) {
    if (!judgement.hasContainer) return
  }
  const target = judgement.resolve(value)
  const type = shownType(value, target)
  if (type === undefined || types.includes('Resource')) return
  if (!types.includes(type)) {
    const ofR4 = variants.find((one) => one.type === 'Reference')?.targets
    if (ofR4 !== undefined && !ofR4.includes(type)) return
    const expected = `a reference to ${types.length === 1 ? `a ${types[0]}` : `one of ${types.join(', ')}`}`
    judgement.add(finding('target', 'value', targets.by, judgement.at(), expected, 'Refer to what is meant.'))
  } else if (target !== undefined) {
    checkProfile(target, type, rules, judgement)
  }
}

/** A target that is held to the profile by itself has its faults reported there, once. */
function checkProfile(
  target: JsonObject,
  type: string,
  { targets, id }: ElementRules,
  judgement: Judging,
): void {
  if (targets === undefined) return
  const urls = targets.value.filter((url) => judgement.set.targetTypes([url])?.includes(type))
  const profiles = urls.filter((url) => lastSegment(url) !== type)
  if (profiles.length < urls.length) return
  if (profiles.some((url) => judgement.isHeldTo(target, url))) return
  const known = profiles.filter((url) => judgement.set.urls.has(url))
  if (known.length < profiles.length) {
    judgement.notJudged(
      targets.by,
      `whether what ${id} refers to meets ${profiles.map(lastSegment).join(' or ')}`,
    )
  } else if (!known.some((url) => judgement.meets(target, url))) {
    const expected = `a reference to a resource that meets ${known.map(lastSegment).join(' or ')}`
    judgement.add(
      finding(
        'target',
        'value',
        targets.by,
        judgement.at(),
        expected,
        'Refer to what is meant, or correct it.',
      ),
    )
  }
}

function showsOneOf(reference: string, types: readonly string[]): boolean {
  for (const type of types) if (reference.startsWith(type) && reference[type.length] === '/') return true
  return false
}
