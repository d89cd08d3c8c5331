import type { Bundle, Device, FhirResource, Observation, Provenance } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { emittedResources, resourcesIn } from '../../../tests/support/emitted-resources.ts'
import type { Adornment, ProfileFamily } from '../registry/destination.ts'
import { PUBLISHED_PROFILES } from '../validation/profiles/published-profiles.ts'
import { errorsIn } from '../validation/validate-resource.ts'
import { adornedBundle, adornedResource, asksForAdornment } from './adorned-resource.ts'
import { DEFAULT_CANONICAL_BASE } from './canonical-base.ts'
import { ownUrls } from './own-urls.ts'

const own = ownUrls(DEFAULT_CANONICAL_BASE)
const PLAIN: Adornment = { claims: [], tags: [], patientSupplied: false, identifiers: [] }
const FAMILIES: readonly ProfileFamily[] = ['us-core', 'vital-signs', 'own']
const SUBSETS = Array.from({ length: 8 }, (_, bits) => FAMILIES.filter((_one, at) => (bits >> at) % 2 === 1))
const FULL: Adornment = {
  claims: FAMILIES,
  tags: [{ system: 'https://records.example/tags', code: 'from-home' }],
  patientSupplied: true,
  identifiers: [{ system: 'https://records.example/feeds', value: 'home' }],
}

type Sent = Observation | Device | Provenance
const isSent = (one: FhirResource): one is Sent =>
  ['Observation', 'Device', 'Provenance'].includes(one.resourceType)
const emitted = emittedResources()
const sent = emitted.flatMap(([name, one]) =>
  resourcesIn(one)
    .filter(isSent)
    .map((resource) => [name, resource] as const),
)
const bundles = emitted.flatMap(([name, one]) =>
  one.resourceType === 'Bundle' ? [[name, one as Bundle] as const] : [],
)
const profilesAdded = (before: Sent, after: Sent) =>
  (after.meta?.profile ?? []).filter((url) => before.meta?.profile?.includes(url) !== true)

describe('profiles that a destination wants claimed', () => {
  it.each(SUBSETS.map((claims) => [claims.join(' and ') || 'none', claims] as const))(
    'of %s are met by whatever is sent',
    (_name, claims) => {
      for (const [name, resource] of sent) {
        const adorned = adornedResource(resource, { ...PLAIN, claims }, own)
        expect([name, errorsIn(adorned)]).toEqual([name, []])
        for (const url of profilesAdded(resource, adorned)) {
          expect(PUBLISHED_PROFILES.definition(url)?.type, url).toBe(resource.resourceType)
        }
      }
    },
  )

  const claimsOf = (family: ProfileFamily, of: (resource: Sent) => boolean) => {
    const found = sent.find(([, resource]) => of(resource))
    if (found === undefined) throw new Error('nothing of the kind is sent')
    return adornedResource(found[1], { ...PLAIN, claims: [family] }, own).meta?.profile ?? []
  }
  const coded = (code: string) => (resource: Sent) =>
    resource.resourceType === 'Observation' && resource.code.coding?.[0]?.code === code
  const R4 = 'http://hl7.org/fhir/StructureDefinition/'
  const US_CORE = 'http://hl7.org/fhir/us/core/StructureDefinition/'

  it.each([
    ['us-core', '85354-9', [`${R4}bp`, `${US_CORE}us-core-blood-pressure`]],
    ['us-core', '8867-4', [`${R4}heartrate`, `${US_CORE}us-core-heart-rate`]],
    ['vital-signs', '85354-9', [`${R4}bp`, `${R4}vitalsigns`]],
    ['vital-signs', '8867-4', [`${R4}heartrate`, `${R4}vitalsigns`]],
    ['own', '85354-9', [`${R4}bp`, own.profile.homeReading]],
    ['own', '8867-4', [`${R4}heartrate`, own.profile.homePulse]],
    ['own', 'very-high', [own.profile.attention]],
    ['own', '97844-5', [own.profile.recordingAverage]],
    ['us-core', '97844-5', []],
    ['vital-signs', 'very-high', []],
  ] as const)('of %s stand on an Observation of %s after those that stood there', (family, code, urls) => {
    expect(claimsOf(family, coded(code))).toEqual(urls)
  })

  it('are claimed once, where they stand there already', () => {
    const profiles = claimsOf('us-core', coded('96607-7'))
    expect(profiles.filter((url) => url.endsWith('us-core-average-blood-pressure'))).toHaveLength(1)
    expect(new Set(profiles).size).toBe(profiles.length)
  })

  it('tell a Provenance of a session from one of an average', () => {
    const roleOf = (role: string) => (resource: Sent) =>
      resource.resourceType === 'Provenance' && resource.entity?.[0]?.role === role
    expect(claimsOf('own', roleOf('source'))).toEqual([own.profile.submissionProvenance])
    expect(claimsOf('own', roleOf('derivation'))).toEqual([own.profile.averageProvenance])
    expect(claimsOf('own', ({ resourceType }) => resourceType === 'Device')).toEqual([
      own.profile.homeMonitor,
    ])
  })
})

describe('a bundle as a destination wants it', () => {
  it.each(bundles)('is valid with everything there is: %s', (_name, bundle) => {
    expect(errorsIn(adornedBundle(bundle, FULL, DEFAULT_CANONICAL_BASE))).toEqual([])
  })

  it('says everything it said, under the same conditions, and ours stays first', () => {
    for (const [name, bundle] of bundles) {
      const adorned = adornedBundle(bundle, FULL, DEFAULT_CANONICAL_BASE)
      const bare = (entry: Bundle['entry']) =>
        entry?.map((one) => ({
          ...one,
          resource: { ...one.resource, meta: undefined, identifier: undefined },
        }))
      expect([name, bare(adorned.entry)]).toEqual([name, bare(bundle.entry)])
      const before = resourcesIn(bundle).filter(isSent)
      resourcesIn(adorned)
        .filter(isSent)
        .forEach((resource, at) => {
          expect(resource.meta?.security).toEqual(before[at]?.meta?.security)
          if (resource.resourceType === 'Provenance') {
            expect(resource.meta?.tag).toEqual([...(before[at]?.meta?.tag ?? []), ...FULL.tags])
            return
          }
          const stood = before[at] as Observation | Device
          expect(resource.identifier).toEqual([...(stood.identifier ?? []), ...FULL.identifiers])
        })
    }
  })

  it('says of Observations, and of nothing else, that the patient supplied them', () => {
    for (const [, resource] of sent) {
      const { meta } = adornedResource(resource, { ...PLAIN, patientSupplied: true }, own)
      const isTagged = meta?.tag?.some(
        ({ system, code }) =>
          system === 'http://hl7.org/fhir/us/core/CodeSystem/us-core-tags' && code === 'patient-supplied',
      )
      expect(isTagged === true).toBe(resource.resourceType === 'Observation')
    }
  })

  it('stays as it is where a destination wants nothing', () => {
    expect(asksForAdornment(PLAIN)).toBe(false)
    for (const [, resource] of sent) expect(adornedResource(resource, PLAIN, own)).toEqual(resource)
  })
})
