/**
 * Source: FHIR R4 4.0.1 (http://hl7.org/fhir/R4), the constraints of the StructureDefinitions of Observation, Bundle,
 * Patient, AuditEvent, DomainResource, Element, Extension and the data types. The expressions below are copied from
 * them; `trace()` is left out, because it only logs, and `descendants().as(type)` in dom-3 is written `ofType(type)`,
 * because `as` is defined for single items. They are evaluated by the fhirpath package and must agree with the
 * predicates of this gateway on random elements and resources, each rule both where it holds and where it does not.
 *
 * txt-1 and txt-2 are not here: `htmlChecks()` has no definition in FHIRPath.
 *
 * A time beside a bare day is compared by the day: the engine takes the day in the zone of the machine, this gateway as
 * it is written. The samples are written in UTC, so the engine is put there too.
 */
import fc from 'fast-check'
import fhirpath, { type Model } from 'fhirpath'
import r4 from 'fhirpath/fhir-context/r4/index.js'
import { describe, expect, it } from 'vitest'
import type { Issue } from '../../src/core/basics/issue.ts'
import { ContainedResources } from '../../src/core/validation/elements/contained-resources.ts'
import { elementInvariants } from '../../src/core/validation/invariants/element-invariants.ts'
import { resourceInvariants } from '../../src/core/validation/invariants/invariants-layer.ts'
import { validateResource } from '../../src/core/validation/validate-resource.ts'
import { elementOf, resourceOf } from '../support/random-resources.ts'

process.env.TZ = 'UTC'

const QUANTITY_KINDS = ['Quantity', 'Age', 'Count', 'Distance', 'Duration']

/** Constraint, type as FHIRPath names it, type as the schema names it, expression. */
const OF_ELEMENTS: readonly [key: string, base: string, on: string, expression: string][] = [
  ...QUANTITY_KINDS.map((kind): [string, string, string, string] => [
    'qty-3',
    kind,
    kind,
    'code.empty() or system.exists()',
  ]),
  ['ext-1', 'Extension', 'Extension', 'extension.exists() != value.exists()'],
  [
    'ref-1',
    'Reference',
    'Reference',
    "reference.startsWith('#').not() or (reference.substring(1) in %rootResource.contained.id)",
  ],
  [
    'age-1',
    'Age',
    'Age',
    '(code.exists() or value.empty()) and (system.empty() or system = %ucum) and (value.empty() or value.hasValue().not() or value > 0)',
  ],
  [
    'cnt-3',
    'Count',
    'Count',
    "(code.exists() or value.empty()) and (system.empty() or system = %ucum) and (code.empty() or code = '1') and (value.empty() or value.hasValue().not() or value.toString().contains('.').not())",
  ],
  [
    'dis-1',
    'Distance',
    'Distance',
    '(code.exists() or value.empty()) and (system.empty() or system = %ucum)',
  ],
  ['drt-1', 'Duration', 'Duration', 'code.exists() implies ((system = %ucum) and value.exists())'],
  ['rng-2', 'Range', 'Range', 'low.empty() or high.empty() or (low <= high)'],
  [
    'rat-1',
    'Ratio',
    'Ratio',
    '(numerator.empty() xor denominator.exists()) and (numerator.exists() or extension.exists())',
  ],
  ['per-1', 'Period', 'Period', 'start.hasValue().not() or end.hasValue().not() or (start <= end)'],
  ['att-1', 'Attachment', 'Attachment', 'data.empty() or contentType.exists()'],
  ['cpt-2', 'ContactPoint', 'ContactPoint', 'value.empty() or system.exists()'],
  ['exp-1', 'Expression', 'Expression', 'expression.exists() or reference.exists()'],
  [
    'obs-3',
    'Observation.referenceRange',
    'Observation_ReferenceRange',
    'low.exists() or high.exists() or text.exists()',
  ],
  [
    'pat-1',
    'Patient.contact',
    'Patient_Contact',
    'name.exists() or telecom.exists() or address.exists() or organization.exists()',
  ],
  ['sev-1', 'AuditEvent.entity', 'AuditEvent_Entity', 'name.empty() or query.empty()'],
  [
    'inv-1',
    'Parameters.parameter',
    'Parameters_Parameter',
    '(part.exists() and value.empty() and resource.empty()) or (part.empty() and (value.exists() xor resource.exists()))',
  ],
  ['bdl-5', 'Bundle.entry', 'Bundle_Entry', 'resource.exists() or request.exists() or response.exists()'],
  ['bdl-8', 'Bundle.entry', 'Bundle_Entry', "fullUrl.contains('/_history/').not()"],
  ['tim-1', 'Timing.repeat', 'Timing_Repeat', 'duration.empty() or durationUnit.exists()'],
  ['tim-2', 'Timing.repeat', 'Timing_Repeat', 'period.empty() or periodUnit.exists()'],
  ['tim-4', 'Timing.repeat', 'Timing_Repeat', 'duration.exists() implies duration >= 0'],
  ['tim-5', 'Timing.repeat', 'Timing_Repeat', 'period.exists() implies period >= 0'],
  ['tim-6', 'Timing.repeat', 'Timing_Repeat', 'periodMax.empty() or period.exists()'],
  ['tim-7', 'Timing.repeat', 'Timing_Repeat', 'durationMax.empty() or duration.exists()'],
  ['tim-8', 'Timing.repeat', 'Timing_Repeat', 'countMax.empty() or count.exists()'],
  [
    'tim-9',
    'Timing.repeat',
    'Timing_Repeat',
    "offset.empty() or (when.exists() and when.select($this in ('C' | 'CM' | 'CD' | 'CV')).allFalse())",
  ],
  ['tim-10', 'Timing.repeat', 'Timing_Repeat', 'timeOfDay.empty() or when.empty()'],
  ['trd-1', 'TriggerDefinition', 'TriggerDefinition', 'data.empty() or timing.empty()'],
  ['trd-2', 'TriggerDefinition', 'TriggerDefinition', 'condition.exists() implies data.exists()'],
  [
    'trd-3',
    'TriggerDefinition',
    'TriggerDefinition',
    "(type = 'named-event' implies name.exists()) and (type = 'periodic' implies timing.exists()) and (type.startsWith('data-') implies data.exists())",
  ],
  [
    'drq-1',
    'DataRequirement.codeFilter',
    'DataRequirement_CodeFilter',
    'path.exists() xor searchParam.exists()',
  ],
  [
    'drq-2',
    'DataRequirement.dateFilter',
    'DataRequirement_DateFilter',
    'path.exists() xor searchParam.exists()',
  ],
]

const OF_DOMAIN_RESOURCES: readonly [key: string, expression: string][] = [
  ['dom-2', 'contained.contained.empty()'],
  [
    'dom-3',
    "contained.where((('#'+id in (%resource.descendants().reference | %resource.descendants().ofType(canonical) | %resource.descendants().ofType(uri) | %resource.descendants().ofType(url))) or descendants().where(reference = '#').exists() or descendants().where(ofType(canonical) = '#').exists()).not()).empty()",
  ],
  ['dom-4', 'contained.meta.versionId.empty() and contained.meta.lastUpdated.empty()'],
  ['dom-5', 'contained.meta.security.empty()'],
  ['dom-6', 'text.`div`.exists()'],
]

const OF_OBSERVATIONS: readonly [key: string, expression: string][] = [
  ...OF_DOMAIN_RESOURCES,
  ['obs-6', 'dataAbsentReason.empty() or value.empty()'],
  [
    'obs-7',
    'value.empty() or component.code.where(coding.intersect(%resource.code.coding).exists()).empty()',
  ],
]

const OF_BUNDLES: readonly [key: string, expression: string][] = [
  ['bdl-1', "total.empty() or (type = 'searchset') or (type = 'history')"],
  ['bdl-2', "entry.search.empty() or (type = 'searchset')"],
  [
    'bdl-3',
    "entry.all(request.exists() = (%resource.type = 'batch' or %resource.type = 'transaction' or %resource.type = 'history'))",
  ],
  [
    'bdl-4',
    "entry.all(response.exists() = (%resource.type = 'batch-response' or %resource.type = 'transaction-response' or %resource.type = 'history'))",
  ],
  [
    'bdl-7',
    "(type = 'history') or entry.where(fullUrl.exists()).select(fullUrl&resource.meta.versionId).isDistinct()",
  ],
  ['bdl-9', "type = 'document' implies (identifier.system.exists() and identifier.value.exists())"],
  ['bdl-10', "type = 'document' implies (timestamp.hasValue())"],
  ['bdl-11', "type = 'document' implies entry.first().resource.is(Composition)"],
  ['bdl-12', "type = 'message' implies entry.first().resource.is(MessageHeader)"],
]

const ELEMENT_RUNS = 400
const RESOURCE_RUNS = 3000

/** What an engine makes of an expression: true, false, or undefined when it has no answer. */
type Evaluate = (data: object, environment: object) => boolean | undefined

function compiled(expression: string, base?: string): Evaluate {
  const evaluate = fhirpath.compile(base === undefined ? expression : { base, expression }, r4 as Model, {
    async: false,
  })
  return (data, environment) => {
    const [answer]: unknown[] = evaluate(data, { ucum: 'http://unitsofmeasure.org', ...environment })
    return typeof answer === 'boolean' ? answer : undefined
  }
}

/** Asserts agreement on every sample with an answer, and that both answers were seen. */
function agrees(
  samples: readonly object[],
  published: (sample: object) => boolean | undefined,
  ours: (sample: object) => boolean,
): void {
  const seen = { true: 0, false: 0 }
  for (const sample of samples) {
    const answer = published(sample)
    if (answer === undefined) continue
    seen[`${answer}`]++
    if (ours(sample) !== answer) expect.fail(`published says ${answer} of ${JSON.stringify(sample)}`)
  }
  expect(seen.true).toBeGreaterThan(0)
  expect(seen.false).toBeGreaterThan(0)
}

describe('an invariant of elements agrees with its published expression', () => {
  it.each(OF_ELEMENTS)('%s on %s', (key, base, on, expression) => {
    const rule = elementInvariants.find((candidate) => candidate.key === key && candidate.on === on)
    if (rule === undefined) throw new Error(`There is no ${key} on ${on}`)
    const root = { resourceType: 'Observation', contained: [{ resourceType: 'Device', id: 'd-1' }] }
    const evaluate = compiled(expression, base)
    agrees(
      fc.sample(elementOf(on), { numRuns: ELEMENT_RUNS, seed: 20260302 }),
      (element) => evaluate(element, { rootResource: root, resource: root }),
      (element) => rule.holds(element as Record<string, unknown>, root, new ContainedResources(root)),
    )
  })
})

describe.each([
  ['Observation', OF_OBSERVATIONS],
  ['Patient', OF_DOMAIN_RESOURCES],
  ['Bundle', OF_BUNDLES],
] as const)('an invariant of %s agrees with its published expression', (type, rules) => {
  const samples = fc.sample(resourceOf(type), { numRuns: RESOURCE_RUNS, seed: 20260303 })

  it.each(rules)('%s', (key, expression) => {
    const rule = resourceInvariants(type).find((candidate) => candidate.key === key)
    if (rule === undefined) throw new Error(`There is no ${key}`)
    const evaluate = compiled(expression)
    agrees(
      samples,
      (resource) => evaluate(resource, { resource, rootResource: resource }),
      (resource) => rule.holds(resource as Record<string, unknown>),
    )
  })

  it('has no invariant beside those compared here', () => {
    expect(resourceInvariants(type).map(({ key }) => key)).toEqual(rules.map(([key]) => key))
  })
})

/** Compared in `r4-invariants-differential.test.ts`, on mutations of definitions. */
const OF_DEFINITIONS = /^(?:ElementDefinition|StructureDefinition_|ValueSet_|CapabilityStatement_)/

it('compares every invariant of elements but the two without an expression', () => {
  const compared = new Set(OF_ELEMENTS.map(([key, , on]) => `${key} ${on}`))
  expect(
    elementInvariants
      .filter(({ key, on }) => !compared.has(`${key} ${on}`) && !OF_DEFINITIONS.test(on))
      .map(({ key }) => key),
  ).toEqual(['txt-1', 'txt-2'])
})

it('ele-1: reports as many empty elements of an Observation as its published expression', () => {
  const elements = compiled(
    'descendants().where((hasValue() or (children().count() > id.count()) or is(Resource) or is(xhtml)).not()).count() = %found',
  )
  const found = (issues: readonly Issue[]) => issues.filter(({ rule }) => rule === 'ele-1').length
  const counts = new Set<number>()
  for (const observation of fc.sample(resourceOf('Observation'), {
    numRuns: RESOURCE_RUNS,
    seed: 20260304,
  })) {
    const count = found(validateResource(observation))
    counts.add(count)
    expect(elements(observation, { resource: observation, found: count }), JSON.stringify(observation)).toBe(
      true,
    )
  }
  expect(counts.size).toBeGreaterThan(2)
})
