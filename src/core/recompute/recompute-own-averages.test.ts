import fc from 'fast-check'
import type { Bundle } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { anyPlan, anySittings } from '../../../tests/support/any-sittings.ts'
import { emittedResources } from '../../../tests/support/emitted-resources.ts'
import { averageContext, exampleAverage } from '../../../tests/support/example-average.ts'
import { EXAMPLE_RECORD, laterRecord } from '../../../tests/support/example-context.ts'
import { techniqueFinding } from '../../../tests/support/home-sitting.ts'
import { shippedRules } from '../../../tests/support/recompute-rules.ts'
import { shippedProtocols, shippedThresholdSets } from '../../../tests/support/shipped-profiles.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../clinical/attention/attention-limits.ts'
import type { CheckedSession, PeriodPlan } from '../clinical/averaging/period-average.ts'
import { reportPeriod } from '../clinical/report/report-period.ts'
import { averageBundle } from '../fhir/average/average-bundle.ts'
import { recomputeAverages, recomputeIssues } from './recompute-averages.ts'

const rules = shippedRules()
const sets = shippedThresholdSets()

describe('an average of this gateway, worked out again from its own bundle', () => {
  it.each(shippedProtocols().map(({ id, title }) => ({ id, title })))('agrees by $id, $title', ({ id }) => {
    const protocol = shippedProtocols().find((one) => one.id === id)
    if (protocol === undefined) throw new Error(`no protocol ${id}`)
    const { sittings, average } = exampleAverage()
    for (const decimals of [0, 1] as const) {
      const bundle = bundleOf({ ...average.plan, protocol }, sittings, decimals)
      const [again] = recomputeAverages(parsed(bundle), rules)
      expect(again).toMatchObject({ verdict: 'agrees', protocol: id, differences: [], readings: 28 })
      expect(again).not.toHaveProperty('assumed')
    }
  })

  it('agrees in whatever else the gateway writes, recordings included', () => {
    const again = emittedResources()
      .filter(
        ([name]) =>
          name !== TAKEN_BACK && !/that names its readings|bundle taken back|recording taken back/.test(name),
      )
      .flatMap(([, resource]) => recomputeAverages(parsed(resource), rules))
    expect(again.length).toBeGreaterThan(5)
    expect(again.filter(({ verdict }) => verdict !== 'agrees')).toEqual([])
  })

  it('cannot be worked out where its readings were not sent along, and says so', () => {
    const again = emittedResources()
      .filter(([name]) => name.endsWith('that names its readings'))
      .flatMap(([, resource]) => recomputeAverages(parsed(resource), rules))
    expect(again).toHaveLength(2)
    for (const one of again) {
      expect(one).toMatchObject({
        verdict: 'not-recomputable',
        reason: expect.stringContaining('0 are in the bundle'),
      })
    }
  })

  it('states nothing that could be false once it was taken back', () => {
    const again = emittedResources()
      .filter(([name]) => /bundle (?:that names its readings )?taken back|recording taken back/.test(name))
      .flatMap(([, resource]) => recomputeAverages(parsed(resource), rules))
    expect(again.length).toBeGreaterThan(4)
    for (const one of again) {
      expect(one).toMatchObject({
        verdict: 'not-recomputable',
        differences: [],
        reason: expect.stringContaining('entered-in-error'),
        takenBack: true,
      })
    }
  })

  it('differs where a session was taken back after the average was worked out', () => {
    const bundle = emittedResources().find(([name]) => name === TAKEN_BACK)?.[1]
    const [again] = recomputeAverages(parsed(bundle), rules)
    expect(again?.differences[0]).toMatchObject({
      what: 'why a reading is left out',
      expected: 'withdrawn',
      found: 'first-day',
    })
  })

  it('is not said to differ where a clinic flags less than was noticed, for the bundle does not tell what', () => {
    const { sittings, average } = exampleAverage()
    const moved = { ...techniqueFinding(), code: 'moving', text: 'Moving was reported.' } as const
    const noticed = sittings.map((sitting, place) =>
      place === 4 ? { ...sitting, findings: [moved] } : sitting,
    )
    const bundle = bundleOf({ ...average.plan, policy: { moving: 'ignore' } }, noticed, 1)
    expect(recomputeAverages(parsed(bundle), rules)).toMatchObject([{ verdict: 'agrees', differences: [] }])
  })

  it('agrees for any sittings under any rules', () => {
    fc.assert(
      fc.property(anyPlan, anySittings, fc.constantFrom<0 | 1>(0, 1), (plan, sittings, decimals) => {
        const bundle = bundleOf(plan, sittings, decimals)
        const protocols = new Map([[plan.protocol.id, plan.protocol]])
        const again = recomputeAverages(parsed(bundle), { ...rules, protocols })
        expect(again.map(({ differences, reason }) => ({ differences, reason }))).toEqual([
          { differences: [], reason: undefined },
        ])
        expect(recomputeIssues(again).filter(({ severity }) => severity !== 'information')).toEqual([])
      }),
      { numRuns: 60, endOnFailure: true },
    )
  })
})

describe('an average of what came through two sources', () => {
  /** Every other sitting through both, the one with a monitor’s serial, in turn the same and another one. */
  const throughBoth = (sittings: readonly CheckedSession[]): readonly CheckedSession[] =>
    sittings.flatMap((sitting, place): readonly CheckedSession[] => {
      const { session } = sitting
      const through = (source: string, serial: string) => ({
        ...sitting,
        source,
        session: { ...session, device: { serial } },
      })
      const app = through('harbour-app', 'B-1')
      return place % 2 === 0 ? [app] : [app, through('harbour-monitor', place % 4 === 1 ? 'B-1' : 'B-2')]
    })

  it('agrees, whichever readings are one', () => {
    fc.assert(
      fc.property(anyPlan, anySittings, (plan, sittings) => {
        const bundle = bundleOf(plan, throughBoth(sittings), 1)
        const protocols = new Map([[plan.protocol.id, plan.protocol]])
        const again = recomputeAverages(parsed(bundle), { ...rules, protocols })
        expect(again.map(({ differences, reason }) => ({ differences, reason }))).toEqual([
          { differences: [], reason: undefined },
        ])
      }),
      { numRuns: 60, endOnFailure: true },
    )
  })
})

const TAKEN_BACK = 'amended average bundle with a session that was taken back'

function bundleOf(plan: PeriodPlan, sittings: readonly CheckedSession[], decimals: 0 | 1): Bundle {
  const report = reportPeriod(plan, sittings, sets, DEFAULT_ATTENTION_LIMITS)
  const submitted = sittings.map((one) => ({
    ...one,
    stored: one.withdrawn === true ? laterRecord([one.session], true) : EXAMPLE_RECORD,
  }))
  return averageBundle(report, submitted, averageContext(report, { decimals }))
}

function parsed(resource: unknown): unknown {
  return JSON.parse(JSON.stringify(resource))
}
