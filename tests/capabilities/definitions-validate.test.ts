/**
 * What is sent against the profiles that describe it, and all that ships under `profiles/` against R4, by our own
 * validator.
 */
import { readdirSync } from 'node:fs'
import type { FhirResource, Observation } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import type { Issue } from '../../src/core/basics/issue.ts'
import { DEFAULT_CANONICAL_BASE } from '../../src/core/fhir/canonical-base.ts'
import { PROFILE } from '../../src/core/fhir/codes.ts'
import { type OwnUrls, ownUrls } from '../../src/core/fhir/own-urls.ts'
import { rebased } from '../../src/core/fhir/rebased-documents.ts'
import { validateResource } from '../../src/core/validation/validate-resource.ts'
import { loadCatalogue } from '../../src/shell/config/catalogue/load-catalogue.ts'
import { emittedResources, resourcesIn } from '../support/emitted-resources.ts'
import { exampleSettings } from '../support/example-settings.ts'
import { profileJson } from '../support/shipped-profiles.ts'

const OTHER_BASE = 'https://gateway.clinic.example/r4'
const own = ownUrls(DEFAULT_CANONICAL_BASE)
const { profiles } = loadCatalogue(exampleSettings())

const shipped = readdirSync(new URL('../../profiles/', import.meta.url), {
  recursive: true,
  encoding: 'utf8',
})
  .filter((file) => file.endsWith('.json'))
  .map((file) => [file, profileJson(file)] as const)
  .filter(([, document]) => typeof document === 'object' && document !== null && 'resourceType' in document)
  .toSorted(([a], [b]) => (a < b ? -1 : 1))

/** Each kind of resource as it stands in what is sent, once for each way it is written. */
const sent = emittedResources().flatMap(([name, resource]) =>
  resourcesIn(JSON.parse(JSON.stringify(resource)) as FhirResource).map((one) => [name, one] as const),
)

/** The profile of ours that a resource is to meet, by our identifier on it. */
function profileOf(resource: FhirResource): string | undefined {
  if (resource.resourceType === 'Provenance') {
    const roles = resource.entity?.map(({ role }) => role) ?? []
    return roles.includes('source') ? own.profile.submissionProvenance : own.profile.averageProvenance
  }
  const identifier =
    resource.resourceType === 'Observation' || resource.resourceType === 'Device' ? resource.identifier : []
  return PROFILE_BY_SYSTEM.get(identifier?.[0]?.system ?? '')
}

const PROFILE_BY_SYSTEM = new Map<string, string>(
  (
    [
      ['reading', 'homeReading'],
      ['pulse', 'homePulse'],
      ['monitorStatus', 'monitorStatus'],
      ['device', 'homeMonitor'],
      ['average', 'periodAverage'],
      ['recording', 'recordingAverage'],
      ['attention', 'attention'],
    ] as const satisfies readonly (readonly [keyof OwnUrls['identifier'], keyof OwnUrls['profile']])[]
  ).map(([identifier, profile]) => [own.identifier[identifier], own.profile[profile]]),
)

function errorsOf(issues: readonly Issue[]): readonly string[] {
  return issues
    .filter(({ severity }) => severity === 'error')
    .map(({ rule, at, expected }) => `${rule} at ${at}: ${expected}`)
}

describe('what ships under profiles/', () => {
  it('holds every kind of conformance resource', () => {
    const kinds = shipped.map(([, document]) => (document as FhirResource).resourceType)
    expect([...new Set(kinds)].toSorted()).toEqual([
      'CapabilityStatement',
      'CodeSystem',
      'StructureDefinition',
      'ValueSet',
    ])
  })

  it.each(shipped)('%s is valid R4, under its own base and under another', (_file, document) => {
    expect(errorsOf(validateResource(document, { profiles }))).toEqual([])
    expect(errorsOf(validateResource(rebased(document, OTHER_BASE), { profiles }))).toEqual([])
  })
})

describe('what is sent', () => {
  it('is of every profile of ours', () => {
    const met = new Set(sent.map(([, resource]) => profileOf(resource)))
    expect([...met].toSorted()).toEqual(Object.values(own.profile).toSorted())
  })

  it.each(Object.values(own.profile))('meets %s when asked', (profile) => {
    for (const [name, resource] of sent) {
      if (profileOf(resource) !== profile) continue
      const issues = validateResource(resource, { profiles, asked: [profile] })
      expect(errorsOf(issues), name).toEqual([])
      expect(
        issues.filter(({ rule }) => rule === profile.split('/').at(-1)),
        'judged whole',
      ).toEqual([])
    }
  })

  it('meets the average profile of US Core as well, as our own says', () => {
    const averages = sent.filter(([, resource]) => profileOf(resource) === own.profile.periodAverage)
    expect(averages.length).toBeGreaterThan(2)
    for (const [name, average] of averages) {
      const issues = validateResource(average, { profiles, asked: [PROFILE.usCoreAverage] })
      expect(errorsOf(issues), name).toEqual([])
    }
  })

  it.each([
    ['period-average', 'hbp-2', (one: Observation) => ({ ...one, derivedFrom: one.derivedFrom?.slice(1) })],
    ['attention', 'hbp-3', (one: Observation) => ({ ...one, valueBoolean: one.valueBoolean !== true })],
  ] as const)('is refused by %s when %s alone is broken', (id, rule, broken) => {
    const profile = `${DEFAULT_CANONICAL_BASE}/StructureDefinition/${id}`
    const whole = sent.find(([, resource]) => profileOf(resource) === profile)?.[1] as Observation
    const issues = validateResource(broken(whole), { profiles, asked: [profile] })
    expect(issues.filter(({ severity }) => severity === 'error')).toMatchObject([{ rule, at: 'Observation' }])
  })

  it('meets its profile under the base of a deployment, too', () => {
    const elsewhere = loadCatalogue(exampleSettings({ canonicalBase: OTHER_BASE })).profiles
    for (const [name, resource] of sent) {
      const asked = [rebased(profileOf(resource) ?? '', OTHER_BASE)]
      const issues = validateResource(rebased(resource, OTHER_BASE), { profiles: elsewhere, asked })
      expect(errorsOf(issues), name).toEqual([])
    }
  })

  it.each([
    ['measurementSetting', own.profile.homeReading, { valueCode: 'moon' }],
    ['meanPulse', own.profile.periodAverage, { valueQuantity: { value: 60, unit: 'mmHg' } }],
    ['readingsReceived', own.profile.periodAverage, { valueString: 'many' }],
    ['exclusion', own.profile.periodAverage, { valueString: 'because' }],
  ] as const)('is refused when its extension %s is not as defined', (name, profile, value) => {
    const whole = sent
      .filter(([, resource]) => profileOf(resource) === profile)
      .map(([, resource]) => resource as Observation)
      .find(({ extension }) => extension?.some(({ url }) => url === own.extension[name]))
    const extension = whole?.extension?.map((one) =>
      one.url === own.extension[name] ? { url: one.url, ...value } : one,
    )
    const issues = validateResource({ ...whole, extension }, { profiles })
    expect(errorsOf(issues)).not.toEqual([])
    for (const { at } of issues.filter(({ severity }) => severity === 'error')) {
      expect(at).toMatch(/^Observation\.extension/)
    }
  })

  it('is refused when a reading is left out for a reason that is none of ours', () => {
    const whole = sent
      .map(([, resource]) => resource as Observation)
      .find(({ extension }) => extension?.some(({ url }) => url === own.extension.exclusion))
    const spoilt = JSON.parse(JSON.stringify(whole).replace('"code":"first-day"', '"code":"bad-luck"'))
    expect(errorsOf(validateResource(whole, { profiles }))).toEqual([])
    expect(errorsOf(validateResource(spoilt, { profiles })).length).toBeGreaterThan(0)
  })

  it.each(Object.values(own.profile))('is refused by %s when it is something else', (profile) => {
    const other = sent.find(([, resource]) => {
      const its = profileOf(resource)
      return its !== profile && resource.resourceType === typeOf(profile)
    })
    const resource = other?.[1] ?? { resourceType: 'Device', status: 'active' }
    expect(errorsOf(validateResource(resource, { profiles, asked: [profile] }))).not.toEqual([])
  })
})

function typeOf(profile: string): string {
  const { type } = profileJson(`structure-definitions/${profile.split('/').at(-1)}.json`) as { type: string }
  return type
}
