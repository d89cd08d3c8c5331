import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import { PROFILE } from '../../fhir/codes.ts'
import { LOINC } from '../codes/code-systems.ts'
import type { ProfilePlan } from './profile-plan.ts'
import type { ProfileSet } from './profile-set.ts'
import { withoutVersion } from './structure-definition.ts'

/**
 * LOINC codes of Observation.code that make a profile apply, whatever `meta.profile` says. R4 asks vital signs to
 * conform by their code, and the HL7 validator holds them to it, so that a lone systolic Observation is held to blood
 * pressure and fails. That an average is held to its only published shape is our choice.
 * Source: FHIR R4 4.0.1 observation-vitalsigns.html.
 */
const BY_CODE: ReadonlyMap<unknown, string> = new Map([
  ...['85354-9', '35094-2', '8459-0', '76534-7', '55284-4', '8480-6'].map((code): [string, string] => [
    code,
    PROFILE.bloodPressure,
  ]),
  ['8867-4', PROFILE.heartRate],
  ['96607-7', PROFILE.usCoreAverage],
])

/** The URLs of the profiles an Observation has to meet by its code. Most have none or one. */
export function urlsByCode(resource: JsonObject): readonly string[] {
  if (resource.resourceType !== 'Observation' || !isJsonObject(resource.code)) return NONE
  const { coding } = resource.code
  if (!Array.isArray(coding)) return NONE
  let urls: string[] | undefined
  for (let i = 0; i < coding.length; i++) {
    const one: unknown = coding[i]
    if (!isJsonObject(one) || one.system !== LOINC) continue
    const url = BY_CODE.get(one.code)
    if (url === undefined) continue
    urls ??= []
    if (!urls.includes(url)) urls.push(url)
  }
  return urls ?? NONE
}

const NONE: readonly string[] = []

/** Every profile of the set that a resource has to meet, by its code, its claims, and those asked for. */
export function plansFor(
  resource: JsonObject,
  set: ProfileSet,
  asked: readonly string[] = NONE,
): readonly ProfilePlan[] {
  const claimed =
    isJsonObject(resource.meta) && Array.isArray(resource.meta.profile) ? resource.meta.profile : NONE
  const plans: ProfilePlan[] = []
  addPlans(urlsByCode(resource), resource, set, plans)
  addPlans(claimed, resource, set, plans)
  addPlans(asked, resource, set, plans)
  // What a profile derives from is part of it.
  return plans.length < 2
    ? plans
    : plans.filter((one) => !plans.some((other) => other !== one && other.lineage.has(one.url)))
}

function addPlans(
  urls: readonly unknown[],
  { resourceType }: JsonObject,
  set: ProfileSet,
  plans: ProfilePlan[],
): void {
  for (let i = 0; i < urls.length; i++) {
    const url = urls[i]
    const plan = typeof url === 'string' ? set.plan(withoutVersion(url)) : undefined
    if (plan !== undefined && plan.type === resourceType && !plans.includes(plan)) plans.push(plan)
  }
}
